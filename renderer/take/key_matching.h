// Which of the notes of one key are the same note, once it is known when each should sound; and
// which played notes stand for others. The second and fine half of an alignment.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "base/units.h"

namespace arsis {

// A note at a time: of the score where it is due, of the take where it is played.
struct TimedNote {
  Seconds at;
  std::uint8_t key = 60;
  std::uint32_t index = 0;  // whatever the caller counts by
};

struct IndexPair {
  std::uint32_t due = 0;
  std::uint32_t played = 0;
  friend auto operator<=>(const IndexPair&, const IndexPair&) = default;
};

// Pairs of one key that lie within `window` of each other: as many as can be without crossing, and
// of those the ones nearest in time. Optimal for each key (a dynamic program over both lists), but
// that a note has a choice of the 64 first within its window only. The result is by `due`'s order.
//   due, played   by key, then time
std::vector<IndexPair> match_keys(std::span<const TimedNote> due, std::span<const TimedNote> played,
                                  Seconds window);

// Pairs of different keys, at most an octave apart and within `window` of each other: a note struck
// wrongly stands for the written one. The likeliest first (near in time and in pitch), each note in
// one pair.
//   due, played   by time
std::vector<IndexPair> match_wrong(std::span<const TimedNote> due,
                                   std::span<const TimedNote> played, Seconds window);

}  // namespace arsis
