// Where a moment stands in its bar, as one who beats time feels it.
#pragma once

#include "score/bars.h"

namespace arsis {

// The felt beat: the signature's unit, or three of them in compound time (6, 9, 12, 15 over
// whatever unit). Source: textbook rule of compound time.
constexpr Beats pulse_of(TimeSignature signature) {
  const bool compound = signature.beats > 3 && signature.beats % 3 == 0;
  return signature.beat_length() * (compound ? 3.0 : 1.0);
}

// How strong the place is, 0..1: 1 on the downbeat, 0.75 in the middle of a bar of four, 0.5 on the
// other felt beats, 0.25 on their halves (in compound time their thirds), 0.125 elsewhere.
// Source: the order is the textbook's, the numbers are our choice.
double metrical_weight(const Bars& bars, Beats at);

// What metrical_weight() gives a felt beat: whatever stands there or stronger is "on the beat".
inline constexpr double kOnTheBeat = 0.5;
// What it gives the middle of a bar: whatever stands there or stronger is a strong beat.
inline constexpr double kStrongBeat = 0.75;

}  // namespace arsis
