// How consonant a set of pitch classes is: a table of dyads, added up or averaged.
#pragma once

#include <cstdint>
#include <optional>

namespace arsis {

// A set of pitch classes, bit 0 for C .. bit 11 for B.
using PitchSet = std::uint16_t;

constexpr PitchSet with_key(PitchSet set, int key) {
  return static_cast<PitchSet>(set | (1u << (key % 12)));
}

// 1..6 for two keys, 0 for a unison or octave: the smaller way round the octave, in semitones.
constexpr int interval_class(int a, int b) {
  const int up = ((a - b) % 12 + 12) % 12;
  return up <= 6 ? up : 12 - up;
}

// Consonance of an interval class of 1..6: -1.428 (semitone) .. 1.240 (fourth and fifth).
// Source: Huron 1994, Music Perception 11(3):289-305.
double dyad_consonance(int interval_class);

// The sum over all pairs, Huron's aggregate. A large set collects more pairs: for comparing chords
// of different sizes take the mean.
double summed_consonance(PitchSet set);

// The mean over all pairs; none for fewer than two pitch classes. Our choice: Huron sums.
std::optional<double> mean_consonance(PitchSet set);

// How tense the chord is, 0..1: 0 from a common triad's mean upwards, 1 from a mean that lies 1.2
// below it (semitone clusters); 0 for fewer than two pitch classes. A dominant seventh has 0.37.
// Our choice.
double chord_tension(PitchSet set);

}  // namespace arsis
