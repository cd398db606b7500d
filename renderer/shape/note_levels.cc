#include "shape/note_levels.h"

#include <algorithm>
#include <iterator>

#include "shape/energy.h"
#include "shape/level.h"

namespace arsis {
namespace {

// The onsets and the grid as one strictly rising row.
std::vector<Beats> moments_of(const Score& score, std::span<const Beats> grid) {
  std::vector<Beats> onsets;
  onsets.reserve(score.notes.size());
  for (const Note& note : score.notes) {
    if (onsets.empty() || onsets.back() != note.onset) onsets.push_back(note.onset);
  }
  std::vector<Beats> moments;
  moments.reserve(onsets.size() + grid.size());
  std::ranges::set_union(onsets, grid, std::back_inserter(moments));
  return moments;
}

Decibels lift_over(Decibels ceiling, MarkSet marks, const Tuning& tuning) {
  Decibels lift{0.0};
  if (marks.empty()) return lift;
  for (const Mark mark : kEveryMark) {
    if (marks.has(mark)) lift = std::max(lift, lift_of(mark, tuning));
  }
  if (marks.has(Mark::kFortePiano)) {
    lift = std::max(lift, level_of_dynamic(kForteStep, tuning) - ceiling);
  }
  return lift;
}

}  // namespace

DynamicCurves dynamic_curves(const Score& score, const BoundPlan& plan, std::span<const Beats> grid,
                             const Layers& layers) {
  DynamicCurves curves;
  const bool falls = std::ranges::any_of(plan.dynamics, [](const DynamicLine& line) {
    return std::ranges::any_of(line, &DynamicStretch::falls);
  });
  const std::vector<Beats> moments = falls ? moments_of(score, grid) : std::vector<Beats>{};
  for (std::size_t i = 0; i < plan.dynamics.size(); ++i) {
    const DynamicLine& line = plan.dynamics[i];
    const Ceiling& ceiling = curves.ceilings.emplace_back(line, plan.tuning());
    // A line that no part follows must not be heard as broadening either.
    const bool followed = std::ranges::count(plan.parts, i, &BoundPart::dynamics) > 0;
    curves.withheld.push_back(followed ? withhold(plan, line, ceiling, moments, layers)
                                       : Withheld());
  }
  return curves;
}

std::vector<NoteLevel> note_levels(const Score& score, const BoundPlan& plan,
                                   const DynamicCurves& curves, const Layers& layers) {
  std::vector<NoteLevel> levels;
  levels.reserve(score.notes.size());
  std::vector<bool> leads(score.notes.size());
  for (const std::size_t note : plan.melody) leads[note] = true;
  const Decibels floor = plan.tuning().decibels(Constant::kFloor);
  BlockFinder finder(plan);
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const Note& note = score.notes[i];
    const BoundPart& part = plan.parts[note.part];
    const HoldingBlocks blocks = finder.at(note.onset);
    const Tuning& tuning = tuning_at(plan, blocks);
    const ArcLoss arcs = arc_loss(plan, blocks, note.onset, layers);
    NoteLevel level;
    level.ceiling = ceiling_of(note, plan.dynamics[part.dynamics], curves.ceilings[part.dynamics]);
    level.arc_level =
        arc_level(level.ceiling, arcs, floor) - curves.withheld[part.dynamics].at(note.onset);
    level.lift = lift_over(level.ceiling, plan.marks_of(i), tuning);
    level.energy = arcs.energy();
    Decibels loss{0.0};
    if (layers.touch) {
      loss -= part.balance;  // which is at most 0 dB
      if (part.role == Role::kMelody && !leads[i]) loss += tuning.decibels(Constant::kVoicing);
    }
    level.level = std::min(level.arc_level - loss + level.lift, Decibels{0.0});
    levels.push_back(level);
  }
  return levels;
}

}  // namespace arsis
