// A take in passages: stretches of the score that were played through without a jump, and when each
// of their moments sounded.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "score/time_map.h"
#include "take/following.h"

namespace arsis {

struct PlayedPassage {
  std::uint32_t first_moment = 0;  // indices into Moments::all, both included
  std::uint32_t last_moment = 0;
  std::uint32_t first_played = 0;  // indices into the played notes, [first, end)
  std::uint32_t end_played = 0;
  std::vector<TimeMap::Knot> curve;  // when a beat sounded; rises in both, not empty
};

// When a beat sounds by a curve: between two knots by their tempo, outside by that of the
// outermost ones that are a little apart.
Seconds seconds_at(std::span<const TimeMap::Knot> curve, Beats beat);

// The passages of a followed take, in the order of playing; together they hold every played note.
// A few steps alone between two jumps are no passage. A passage is taken to begin and to end with
// the moments that its first and its last played notes are near to, though their keys be wrong.
std::vector<PlayedPassage> passages_of(const Moments& moments, std::span<const PlayedNote> played,
                                       std::span<const Step> steps);

// A played note of a moment.
struct Sounding {
  Beats beat;
  Seconds onset;
};

// When each beat sounded: the median of its notes, but for those that are far off the line of their
// neighbours.
//   soundings   by beat
//   result      rises strictly in both; empty where there are none
std::vector<TimeMap::Knot> curve_of(std::span<const Sounding> soundings);

}  // namespace arsis
