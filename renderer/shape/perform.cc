#include "shape/perform.h"

#include <cassert>

#include "shape/articulation.h"
#include "shape/time.h"
#include "shape/time_grid.h"
#include "shape/unevenness.h"

namespace arsis {
namespace {

// After all that one part's notes do to another's: the hand that is left out is still played to.
void hear_parts(std::vector<PerformedNote>& notes, const Score& score,
                std::span<const Hearing> parts) {
  if (parts.empty()) return;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const Hearing hearing = parts[score.notes[i].part];
    notes[i].sounds = hearing != Hearing::kLeftOut;
    if (hearing == Hearing::kSilent) notes[i].velocity = Velocity::clamped(1.0);
  }
}

}  // namespace

Shaped perform(const Score& score, const BoundPlan& plan, const Layers& layers,
               const Instrument& instrument) {
  assert(plan.parts.size() == score.parts.size() && !plan.dynamics.empty());
  assert(layers.parts.empty() || layers.parts.size() == score.parts.size());
  Shaped shaped;
  Performance& performance = shaped.performance;

  const std::vector<Beats> grid = time_grid(score, plan);
  const DynamicCurves curves = dynamic_curves(score, plan, grid, layers);
  shaped.levels = note_levels(score, plan, curves, layers);
  if (layers.seed) apply_uneven_levels(shaped.levels, *layers.seed, plan.tuning());

  std::vector<double> factors = duration_factors(plan, score, grid, curves.withheld, layers);
  keep_units(factors, plan, score, grid);
  performance.time = time_map(factors, plan, score, grid, layers);

  performance.notes.reserve(score.notes.size());
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const Note& note = score.notes[i];
    performance.notes.push_back({.onset = performance.time.seconds_at(note.onset),
                                 .end = performance.time.seconds_at(note.end),
                                 .velocity = velocity_at(shaped.levels[i].level)});
  }
  if (layers.touch) {
    apply_lead(performance.notes, score, plan);
    apply_arpeggios(performance.notes, score, plan);
  }
  if (layers.seed) apply_uneven_onsets(performance.notes, *layers.seed, plan.tuning());
  apply_articulation(performance.notes, score, plan, performance.time, layers);
  apply_instrument(performance.notes, shaped.levels, score, instrument);
  hear_parts(performance.notes, score, layers.parts);
  part_keys(performance.notes, score);
  return shaped;
}

}  // namespace arsis
