#include "tool/load.h"

#include <fmt/format.h>

#include <array>
#include <fstream>
#include <optional>
#include <string_view>

#include "base/text.h"
#include "draft/draft.h"
#include "plan/plan_reader.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

void append(Diagnostics& all, const Diagnostics& more) {
  all.insert(all.end(), more.begin(), more.end());
}

// The plan for a score that none can be drafted for: it says nothing, and the score is played as
// written.
Plan plan_without_words(const std::filesystem::path& score) {
  Plan plan;
  plan.file = score.string();
  plan.score = score.filename().string();
  return plan;
}

// Lays the plan over its score; `diagnostics` has what was said of them before.
Result<Loaded> laid_over(Loaded loaded, Diagnostics diagnostics) {
  if (loaded.plan.pickup && is_musicxml(loaded.score.file)) {
    diagnostics.push_back(warning(loaded.plan.where(loaded.plan.pickup->place),
                                  "a page says itself where its bars begin",
                                  "'pickup:' is passed over; take it out"));
    loaded.plan.pickup.reset();
  }
  loaded.score = with_plan_pickup(std::move(loaded.score), loaded.plan);
  if (!is_musicxml(loaded.score.file)) {
    loaded.score = with_plan_hands(std::move(loaded.score), loaded.plan);
  }
  Result<BoundPlan> bound = bind_plan(loaded.plan, loaded.score, loaded.printed);
  append(diagnostics, bound.diagnostics());
  if (!bound) return diagnostics;
  loaded.bound = *std::move(bound);
  return {std::move(loaded), std::move(diagnostics)};
}

// Lays a drafted plan over its score; none where there is nothing to draft, or it does not fit.
// What common practice would question in a draft is told by the draft itself.
std::optional<Result<Loaded>> drafted(const std::filesystem::path& path,
                                      const PrintedScore& printed) {
  std::optional<Draft> draft = draft_of(printed.score, printed.printed, is_musicxml(path), {});
  if (!draft) return std::nullopt;
  Loaded loaded{std::move(draft->plan), std::move(draft->score), printed.printed, {}, true};
  loaded.plan.file = path.string();
  loaded.plan.score = path.filename().string();
  Result<BoundPlan> bound = bind_plan(loaded.plan, loaded.score, loaded.printed);
  if (!bound) return std::nullopt;
  Diagnostics warnings = bound.diagnostics();
  std::erase_if(warnings, [](const Diagnostic& doubt) { return doubt.where.line == 0; });
  loaded.bound = *std::move(bound);
  return Result<Loaded>(std::move(loaded), std::move(warnings));
}

Result<Loaded> load_score_alone(const std::filesystem::path& path) {
  Result<PrintedScore> score = read_any_score(path);
  Diagnostics diagnostics = score.diagnostics();
  if (!score) return diagnostics;
  const auto say = [&](std::string problem, std::string remedy) {
    diagnostics.insert(diagnostics.begin(),
                       warning({.file = path.string()}, std::move(problem), std::move(remedy)));
  };
  if (std::optional<Result<Loaded>> loaded = drafted(path, *score)) {
    say("this is a score, not a plan: a plan is drafted for it", "`arsis draft` writes it down");
    append(diagnostics, loaded->diagnostics());
    return {**std::move(loaded), std::move(diagnostics)};
  }
  say("this is a score, not a plan: it is played as written",
      "write a phrase plan for it to have it shaped");
  Loaded loaded{
      plan_without_words(path), std::move(score->score), std::move(score->printed), {}, true};
  return laid_over(std::move(loaded), std::move(diagnostics));
}

}  // namespace

Result<PrintedScore> read_any_score(const std::filesystem::path& path) {
  if (is_musicxml(path)) return read_musicxml(path);
  Result<Score> score = read_score(path);
  if (!score) return score.diagnostics();
  return {PrintedScore{*std::move(score), {}}, score.diagnostics()};
}

const std::string& title_of(const Loaded& loaded) {
  return loaded.plan.title.empty() ? loaded.score.title : loaded.plan.title;
}

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
