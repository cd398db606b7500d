// A performance without any touch: a score at a time map.
#pragma once

#include <utility>

#include "score/performance.h"
#include "score/score.h"

namespace arsis::test {

inline Performance played(const Score& score, TimeMap time = {}) {
  Performance performance;
  performance.time = std::move(time);
  for (const Note& note : score.notes) {
    performance.notes.push_back({performance.time.seconds_at(note.onset),
                                 performance.time.seconds_at(note.end), note.velocity});
  }
  return performance;
}

}  // namespace arsis::test
