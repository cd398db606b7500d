// What sounds, and when: a score as somebody plays it. The model fills it; writers of files and
// synthesizers read it.
#pragma once

#include <cstdint>
#include <vector>

#include "base/units.h"
#include "score/time_map.h"

namespace arsis {

struct PerformedNote {
  Seconds onset;  // at or after 0
  Seconds end;    // after the onset
  Velocity velocity;
  bool sounds = true;  // false: its part is left out, or the same key of the same channel is struck
                       // by another note at this moment, which sounds for both
};

// What becomes of a part. The others are played as if it were there.
enum class Hearing : std::uint8_t {
  kHeard,
  kLeftOut,  // not there at all
  kSilent,   // its notes are there, at velocity 1, on a channel turned down where it has one alone
};

// Of the sounding notes no two of one key and channel overlap.
struct Performance {
  std::vector<PerformedNote> notes;  // one for each of Score::notes, in the same order
  TimeMap time;                      // where a beat of the score falls; messages follow it
};

}  // namespace arsis
