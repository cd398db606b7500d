#include "shape/summary.h"

#include <algorithm>
#include <tuple>

namespace arsis {

std::optional<GoalLevel> goal_level(const Score& score, const BoundPlan& plan, const Shaped& shaped,
                                    const Block& block) {
  const auto rank = [&](std::size_t i) {
    return std::tuple(plan.parts[score.notes[i].part].role == Role::kMelody,
                      shaped.levels[i].level);
  };
  const auto first = std::ranges::lower_bound(score.notes, block.goal, {}, &Note::onset);
  std::optional<std::size_t> best;
  for (auto i = static_cast<std::size_t>(first - score.notes.begin());
       i < score.notes.size() && score.notes[i].onset == block.goal; ++i) {
    if (!best || rank(i) > rank(*best)) best = i;
  }
  if (!best) return std::nullopt;
  return GoalLevel{*best, shaped.levels[*best].ceiling, shaped.levels[*best].level,
                   shaped.performance.notes[*best].onset};
}

}  // namespace arsis
