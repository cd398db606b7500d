#include "tool/load.h"

#include <fmt/format.h>

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

}  // namespace

Result<Loaded> load(const std::filesystem::path& plan_path) {
  Result<Plan> plan = read_plan(plan_path);
  if (!plan) return plan.diagnostics();
  Diagnostics diagnostics = plan.diagnostics();

  const std::filesystem::path path = score_path(*plan);
  std::error_code ignored;
  if (!std::filesystem::exists(path, ignored)) {
    diagnostics.push_back(error(plan->where(plan->score_place),
                                fmt::format("there is no file '{}'", printable(plan->score)),
                                "name the score relative to the plan's own folder"));
    return diagnostics;
  }
  Result<PrintedScore> score = read_any_score(path);
  append(diagnostics, score.diagnostics());
  if (!score) return diagnostics;

  Loaded loaded{*std::move(plan), std::move(score->score), std::move(score->printed), {}};
  loaded.score = with_plan_pickup(std::move(loaded.score), loaded.plan);
  Result<BoundPlan> bound = bind_plan(loaded.plan, loaded.score, loaded.printed);
  append(diagnostics, bound.diagnostics());
  if (!bound) return diagnostics;
  loaded.bound = *std::move(bound);
  return {std::move(loaded), std::move(diagnostics)};
}

}  // namespace arsis
