// Music as compact text that a pianist can read and mend: the source of the demo scores.
//
//   d5:1 f5:1/2 e5 | r:1 [c4 e4 g4]:2 |
//
// A word is a note (letter, # or b, octave; c4 is middle C), a chord in brackets, a rest `r` or a
// pedal press `p`. After the colon stands its length in quarter notes; without one it is as long as
// the word before. `|` is a bar line, and must stand where one falls: that finds slips.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

inline constexpr int kTicksPerQuarter = 480;

// Where the bar lines fall, in ticks.
struct Meter {
  std::int64_t pickup = 0;  // length of the bar before the first whole one; 0: there is none
  std::int64_t bar = 4 * kTicksPerQuarter;
};

// Keys struck together, or a press of the pedal.
struct Struck {
  std::int64_t tick = 0;    // from the start of the piece
  std::int64_t length = 0;  // in ticks, above 0
  std::vector<int> keys;    // MIDI note numbers 0..127; empty: the pedal
};

struct Voice {
  std::vector<Struck> struck;  // by time
  std::int64_t end = 0;        // tick after its last word, rests included
};

// Reads one voice from the start of the piece. `name` is for messages, which name the word and its
// bar. Errors: words that are none of the above, lengths that are no whole number of ticks or not
// within 1/16 .. 16, bar lines in the wrong place.
Result<Voice> read_notation(std::string_view text, const Meter& meter, const std::string& name);

// "c4" -> 60, "f#5" -> 78, "bb2" -> 46; none for other words and for keys outside 0..127.
std::optional<int> key_named(std::string_view word);

}  // namespace arsis
