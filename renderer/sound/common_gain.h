// One gain for a whole set of renderings, so that what is compared keeps its differences.
#pragma once

#include <optional>
#include <span>

#include "base/diagnostic.h"
#include "base/units.h"
#include "sound/rendering.h"

namespace arsis {

// Full level is 0: room for a lossy encoder's overshoot. Our choice.
inline constexpr Decibels kMostPeak{-1.0};

struct LevelTarget {
  // Of the set. None: nothing is turned up.
  std::optional<Lufs> loudness = std::nullopt;
  // In dBTP, what nothing may pass. None: -1 with a loudness; without one -1 dBFS of the samples,
  // which needs no meter.
  std::optional<Decibels> true_peak = std::nullopt;

  bool needs_meter() const { return loudness || true_peak; }
};

struct CommonGain {
  Decibels gain;
  std::optional<Lufs> loudness;  // of the set with that gain; none where it was not measured, or
                                 // where the set is silent
  bool is_limited = false;       // lower than the loudness asked for, because of the peak
};

// With a loudness: the target less the loudness of the set, up or down. The loudness of a set is
// that of its renderings played one after another under one gate (EBU R 128 for a programme): a
// long one counts for more than a short one. Then lowered so that the highest peak of the set does
// not pass its limit. Without a loudness: 0 dB, or as much lower as the peak asks for.
//   set  with meters where the target needs them; may be empty
// Warning: a loudness is asked for and the set is silent; the gain is 0 dB then.
Result<CommonGain> common_gain(std::span<const Rendered> set, const LevelTarget& target);

}  // namespace arsis
