// The model as a whole: a score and a plan laid over it become a performance. A pure function: same
// input, same output, bit for bit.
#pragma once

#include <vector>

#include "plan/binding.h"
#include "score/performance.h"
#include "score/score.h"
#include "shape/instrument.h"
#include "shape/layers.h"
#include "shape/note_levels.h"

namespace arsis {

struct Shaped {
  Performance performance;
  std::vector<NoteLevel> levels;  // one for each note: why it is as loud as it is
};

// `plan` is bound to this very score. `instrument` changes velocities alone: times, the melody's
// lead among them, are the pianist's and follow the law's velocities.
Shaped perform(const Score& score, const BoundPlan& plan, const Layers& layers = {},
               const Instrument& instrument = {});

}  // namespace arsis
