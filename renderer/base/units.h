// Units of measure: the only numbers that cross a header. A quantity adds to its own kind and to no
// other, and the ratio of two of a kind is a plain number.
#pragma once

#include <compare>
#include <cstdint>

namespace arsis {

template <class Unit>
struct Quantity {
  double value = 0.0;

  friend constexpr auto operator<=>(Quantity, Quantity) = default;
  friend constexpr Quantity operator+(Quantity a, Quantity b) { return {a.value + b.value}; }
  friend constexpr Quantity operator-(Quantity a, Quantity b) { return {a.value - b.value}; }
  friend constexpr Quantity operator-(Quantity a) { return {-a.value}; }
  friend constexpr Quantity operator*(Quantity a, double ratio) { return {a.value * ratio}; }
  friend constexpr Quantity operator*(double ratio, Quantity a) { return {a.value * ratio}; }
  friend constexpr Quantity operator/(Quantity a, double ratio) { return {a.value / ratio}; }
  friend constexpr double operator/(Quantity a, Quantity b) { return a.value / b.value; }
  constexpr Quantity& operator+=(Quantity other) { return value += other.value, *this; }
  constexpr Quantity& operator-=(Quantity other) { return value -= other.value, *this; }
};

using Beats = Quantity<struct BeatUnit>;        // quarter notes from the start of the score
using Seconds = Quantity<struct SecondUnit>;    // from the start of the performance
using Decibels = Quantity<struct DecibelUnit>;  // 20 log10 of an amplitude ratio
using Lufs = Quantity<struct LufsUnit>;         // loudness by ITU-R BS.1770, steps as of Decibels

using Millimetres = Quantity<struct MillimetreUnit>;  // on paper

// Moments nearer to each other than this are one: far below a tick of any file, far above what
// rounding leaves.
inline constexpr Beats kSameMoment{1e-6};
constexpr bool same_moment(Beats a, Beats b) { return a - b < kSameMoment && b - a < kSameMoment; }

// A stretch of the score, [begin, end).
struct Span {
  Beats begin;
  Beats end;

  friend constexpr bool operator==(Span, Span) = default;
  constexpr bool holds(Beats at) const { return begin <= at && at < end; }
  constexpr Beats length() const { return end - begin; }
};

// MIDI note-on velocity, 1..127; 0 would mean note-off.
class Velocity {
 public:
  // The nearest velocity, at least 1 and at most 127.
  static Velocity clamped(double value);
  constexpr Velocity() = default;
  constexpr int value() const { return value_; }
  friend constexpr auto operator<=>(Velocity, Velocity) = default;

 private:
  explicit constexpr Velocity(std::uint8_t value) : value_(value) {}
  std::uint8_t value_ = 64;
};

// 20 log10 of an amplitude ratio above 0, and back.
Decibels to_decibels(double ratio);
double to_ratio(Decibels level);

// Level of a velocity, 0 dB at 127 and below 0 elsewhere: L = 40 log10(v / 127).
// Source: General MIDI 2 and SoundFont 2.04 section 8.4.1, default modulator velocity ->
// initialAttenuation (960 cB, negative unipolar concave), which reduces to this law.
Decibels level_of(Velocity velocity);

// The velocity whose level is nearest; the inverse of level_of, clamped to 1..127.
Velocity velocity_at(Decibels level);

}  // namespace arsis
