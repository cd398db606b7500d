#include "tool/load.h"

#include <fmt/format.h>

#include <array>
#include <fstream>
#include <string_view>

#include "base/text.h"
#include "musicxml/score_reader.h"
#include "plan/plan_reader.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

void append(Diagnostics& all, const Diagnostics& more) {
  all.insert(all.end(), more.begin(), more.end());
}

Result<PrintedScore> read_any_score(const std::filesystem::path& path) {
  if (is_musicxml(path)) return read_musicxml(path);
  Result<Score> score = read_score(path);
  if (!score) return score.diagnostics();
  return {PrintedScore{*std::move(score), {}}, score.diagnostics()};
}

// The plan for a score that has none: it says nothing, and the score is played as written.
Plan plan_without_words(const std::filesystem::path& score) {
  Plan plan;
  plan.file = score.string();
  plan.score = score.filename().string();
  return plan;
}

// Lays the plan over its score; `diagnostics` has what was said of them before.
Result<Loaded> laid_over(Loaded loaded, Diagnostics diagnostics) {
  loaded.score = with_plan_pickup(std::move(loaded.score), loaded.plan);
  Result<BoundPlan> bound = bind_plan(loaded.plan, loaded.score, loaded.printed);
  append(diagnostics, bound.diagnostics());
  if (!bound) return diagnostics;
  loaded.bound = *std::move(bound);
  return {std::move(loaded), std::move(diagnostics)};
}

Result<Loaded> load_score_alone(const std::filesystem::path& path) {
  Result<PrintedScore> score = read_any_score(path);
  Diagnostics diagnostics = score.diagnostics();
  if (!score) return diagnostics;
  diagnostics.insert(
      diagnostics.begin(),
      warning({.file = path.string()}, "this is a score, not a plan: it is played as written",
              "write a phrase plan for it to have it shaped"));
  Loaded loaded{
      plan_without_words(path), std::move(score->score), std::move(score->printed), {}, true};
  return laid_over(std::move(loaded), std::move(diagnostics));
}

}  // namespace

bool is_score(const std::filesystem::path& path) {
  const std::string ending = lower_case(path.extension().string());
  if (is_musicxml(path) || ending == ".mid" || ending == ".midi") return true;
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(path, ignored)) return false;  // a pipe would wait
  std::array<char, 4> head{};
  std::ifstream(path, std::ios::binary).read(head.data(), head.size());
  return std::string_view(head.data(), head.size()) == "MThd";
}

Result<Loaded> load(const std::filesystem::path& path) {
  if (is_score(path)) return load_score_alone(path);
  Result<Plan> plan = read_plan(path);
  if (!plan) return plan.diagnostics();
  Diagnostics diagnostics = plan.diagnostics();

  const std::filesystem::path written = score_path(*plan);
  std::error_code ignored;
  if (!std::filesystem::exists(written, ignored)) {
    diagnostics.push_back(error(plan->where(plan->score_place),
                                fmt::format("there is no file '{}'", printable(plan->score)),
                                "name the score relative to the plan's own folder"));
    return diagnostics;
  }
  Result<PrintedScore> score = read_any_score(written);
  append(diagnostics, score.diagnostics());
  if (!score) return diagnostics;
  Loaded loaded{*std::move(plan), std::move(score->score), std::move(score->printed), {}};
  return laid_over(std::move(loaded), std::move(diagnostics));
}

}  // namespace arsis
