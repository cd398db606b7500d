// The level of every note: ceiling, arcs, what a diminuendo withholds, balance, voicing, accents.
#pragma once

#include <vector>

#include "plan/binding.h"
#include "shape/ceiling.h"
#include "shape/diminuendo.h"
#include "shape/layers.h"

namespace arsis {

// What made a note as loud as it is.
struct NoteLevel {
  Decibels ceiling;     // what the written dynamics allow
  Decibels arc_level;   // ceiling less arcs, held down inside a diminuendo
  Decibels lift;        // of a written accent, over the ceiling; 0 without one
  Decibels level;       // what sounds: arc level less balance and voicing, plus lift; at most 0 dB
  double energy = 1.0;  // 0..1, what the arcs say
};

struct DynamicCurves {
  std::vector<Ceiling> ceilings;   // one for each of BoundPlan::dynamics
  std::vector<Withheld> withheld;  // likewise
};

// `grid`: the moments of the time grid, at which the diminuendos are followed beside the onsets.
DynamicCurves dynamic_curves(const Score& score, const BoundPlan& plan, std::span<const Beats> grid,
                             const Layers& layers);

// One for each note of the score, in its order.
std::vector<NoteLevel> note_levels(const Score& score, const BoundPlan& plan,
                                   const DynamicCurves& curves, const Layers& layers);

}  // namespace arsis
