// Which key a handful of notes is in, and how much at rest each note is in it.
#pragma once

#include <array>
#include <cstddef>

namespace arsis {

// A major or minor key.
struct Tonality {
  int tonic = 0;  // pitch class, 0 (C) .. 11 (B)
  bool minor = false;
  friend bool operator==(Tonality, Tonality) = default;
};

// Where the key stands among all 24: the majors by tonic, then the minors.
constexpr std::size_t index_of(Tonality key) {
  return static_cast<std::size_t>(key.tonic) + (key.minor ? 12u : 0u);
}

// For each pitch class how long it sounds; any unit, at least 0.
using PitchHistogram = std::array<double, 12>;

// How well listeners found a pitch class (0..11) to fit the key: 2.23..6.35 in major, 2.54..6.33 in
// minor. Source: Krumhansl & Kessler 1982, Psychological Review 89:334-368.
double key_profile(Tonality key, int pitch_class);

// How far from rest a pitch class is in the key: 0 (the tonic) .. 1 (the stranger of all), linear
// in the profile. Our choice.
double instability(Tonality key, int pitch_class);

// Pearson's correlation of the histogram with the key's profile, -1..1; 0 for a flat histogram.
// Source: Krumhansl & Schmuckler's key finding, in Krumhansl 1990 (from memory).
double key_fit(const PitchHistogram& histogram, Tonality key);

// How each key fits, by index_of().
using KeyFits = std::array<double, 24>;
KeyFits key_fits(const PitchHistogram& histogram);

// The key that fits best. Of keys that fit alike the one whose tonic is next upwards from
// `reference`, a pitch class, so that the same music in another key has the same answer there;
// major before minor.
Tonality best_key(const KeyFits& fits, int reference);

}  // namespace arsis
