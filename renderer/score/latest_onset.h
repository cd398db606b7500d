// The order of a track's messages among its notes at one moment.
#pragma once

#include <algorithm>

#include "score/score.h"

namespace arsis {

// The latest onset met in a track, and the place in the file of its first note there.
struct LatestOnset {
  Beats at{-1.0};
  std::uint32_t sequence = 0;

  void meet(const Note& note) {
    sequence = note.onset == at ? std::min(sequence, note.sequence) : note.sequence;
    at = note.onset;
  }
};

}  // namespace arsis
