// What is measured of a recorded note and what is done to it: where it begins, how loud it is,
// where it has died away; cut, scaled and faded. Pure.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "base/units.h"

namespace arsis {

// A note's level is the RMS of its first 300 ms, here as in every measurement of Arsis.
inline constexpr Seconds kLevelSpan{0.3};
// The onset lies this far into a sample once it is cut: the way there is a short fade.
inline constexpr Seconds kLeadIn{0.0015};

struct SampleMeasure {
  std::size_t begin = 0;  // frame at which to cut: kLeadIn before the onset
  std::size_t end = 0;    // frame after which nothing is heard, or the longest note ends
  std::size_t fade = 0;   // frames before `end` over which it is faded out
  Decibels level;         // of the kLevelSpan from `begin`, 0 dB at full level
  Decibels peak;          // from `begin` to `end`
};

// Longer notes are faded out over their last quarter: few are held as long, and the low strings'
// last ten seconds would make the font half as large again.
inline constexpr Seconds kLongestNote{12.0};

// What counts as the beginning and as the end of a note.
struct Audibility {
  // The first frame not softer than this much below the peak of the first half second is the onset.
  Decibels onset_below_peak{20.0};
  // What comes after the last 50 ms not softer than this much below the loudest 50 ms is not heard.
  Decibels tail_below_peak{70.0};
};

// Nothing for a sample that is silent, or shorter than 20 ms from `begin` to `end`.
std::optional<SampleMeasure> measure(std::span<const float> sample, int sample_rate,
                                     Audibility audibility);

// The sample from begin to end, scaled by `gain`, faded in over kLeadIn and out at its end, as 16
// bits; clipped where it would pass full level.
std::vector<std::int16_t> cut_sample(std::span<const float> sample, int sample_rate,
                                     const SampleMeasure& measured, Decibels gain);

// The values of a curve as smooth as can be through these levels of rising keys: a parabola by
// least squares (a line through two, a constant through one).
std::vector<Decibels> smooth_curve(std::span<const int> keys, std::span<const Decibels> levels);

}  // namespace arsis
