// A take to be heard beside the plan's performances: what was played of a passage, in the order of
// the score.
#pragma once

#include <span>
#include <vector>

#include "plan/binding.h"
#include "score/performance.h"
#include "score/score.h"
#include "take/alignment.h"
#include "take/played.h"

namespace arsis {

// What sounds, as a score of its own with one part at 120 quarter notes a minute.
struct Replay {
  Score score;
  Performance performance;
  // Where a beat of the score that was aligned to falls; beats that were not played lie in the
  // pauses between two stretches. Without notes it is the usual one.
  TimeMap time;
};

// A stretch of the score as it was played last.
struct LastPlayed {
  Span span;                  // of the score
  std::uint32_t stretch = 0;  // index into Alignment::stretches
};

// What of the passage was played, by the score's order; none overlap.
std::vector<LastPlayed> last_played(const Alignment& alignment, Span passage);

// Between stretches that do not follow one another in the take. Our choice: long enough to hear
// that something is left out.
inline constexpr Seconds kReplayPause{0.3};

// Every note as it was played, also wrong and added ones, with the pedals. What was played again
// sounds as it was played last, and what lies between two stretches is cut out: a short pause
// stands there. The passage begins after such a pause. Notes that were not aligned belong where
// they sounded; no note lasts beyond the stretch. The instrument is that of the plan's melody.
Replay replay_of(const Score& score, const BoundPlan& plan, const Take& take,
                 const Alignment& alignment, Span passage);

}  // namespace arsis
