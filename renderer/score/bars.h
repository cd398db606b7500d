// Bars and printed positions. A bar follows its time signature; a signature that changes within a
// bar cuts that bar short and starts the next; a short first bar is a pickup and has number 0.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/units.h"

namespace arsis {

struct TimeSignature {
  int beats = 4;      // 1..255
  int beat_unit = 4;  // a power of two, 1..64
  friend bool operator==(TimeSignature, TimeSignature) = default;

  constexpr Beats beat_length() const { return {4.0 / beat_unit}; }
  constexpr Beats bar_length() const { return beat_length() * beats; }
};

// The beats that a musician counts in a bar: its denominator's, or three of them together where the
// signature is compound (6/8, 9/8, 12/16). Common practice, no source.
Beats counted_beat(TimeSignature signature);

// The signature of a bar of that length in the unit of `like` or finer; none where there is none.
std::optional<TimeSignature> signature_of_length(Beats length, TimeSignature like);

// The signature as a message of a Standard MIDI File, FF 58 without its length field: a click each
// beat unit. Source: Standard MIDI Files 1.0, "Time Signature".
std::array<std::uint8_t, 6> signature_message(TimeSignature signature);

struct TimeSignatureChange {
  Beats at;
  TimeSignature signature;
};

struct Bar {
  int number = 1;  // as a musician counts: a pickup is 0, the first whole bar 1; as printed, where
                   // a page says so
  int pass = 1;    // how often a bar of this number has been played by then, this time included
  Span span;
  Beats downbeat;  // where beat 1 falls, or would fall: before span.begin in a pickup
  TimeSignature signature;
};

// A printed position, `bar:beat`: beat 1 is the downbeat, in units of the signature's denominator.
struct Position {
  int bar = 1;
  double beat = 1.0;  // ratio: moment within the bar over beat length, plus 1
  int pass = 1;       // of a bar that is played several times
};

class Bars;
// "bar 5", "bars 5 to 6": by their numbers, or of those that the span touches.
std::string bars_text(int first, int last);
std::string bars_text(const Bars& bars, Span span);

class Bars {
 public:
  static constexpr int kMostBars = 100'000;

  // Bars from the start of the score to at least `end`. Changes come in order; without one at the
  // start the signature is 4/4 (Standard MIDI Files 1.0, "Time Signature").
  //   pickup   length of the first bar where the player says it; otherwise the first bar is a
  //   pickup
  //            if its signature holds for one bar only and the next signature's bar is longer
  // Makes at most kMostBars bars; a score that needs more is cut there (see complete()).
  static Bars of(std::span<const TimeSignatureChange> changes, Beats end,
                 std::optional<Beats> pickup = std::nullopt);

  // Bars as a page has them: in order of time, each beginning where the one before ends; not empty.
  static Bars from(std::vector<Bar> bars);

  std::span<const Bar> all() const { return bars_; }
  bool complete(Beats end) const { return bars_.back().span.end >= end; }

  // The bar of that number in that pass, or none.
  const Bar* find(int number, int pass = 1) const;
  // The bar that holds the moment; the last bar for moments after it.
  const Bar& at(Beats moment) const;
  Position position_of(Beats moment) const;
  // The moment of a position, which may lie past the bar's end ("4:5" in 4/4 is "5:1"); none where
  // there is no such bar or the beat lies before the pickup's first.
  std::optional<Beats> moment_of(Position position) const;

 private:
  std::vector<Bar> bars_;                 // never empty
  std::vector<std::uint32_t> by_number_;  // their indices by number, then pass; empty where bars
                                          // are simply counted
};

// "9:3", "9:3.5", "9:3+1/3": the fraction as a musician would write it, thirds, fifths, sixths and
// sevenths as fractions, the rest as decimals.
std::string to_string(Position position);

}  // namespace arsis
