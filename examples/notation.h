// A small notation for the demo scores: music as text that a pianist can read and mend.
//
//   d5:1        a note and its length in quarter notes; fractions as 1/2
//   [d4 f#4]:2  notes together
//   r:1         a rest
//   /4          from here on, notes without a length last a quarter note divided by 4
//   |           a bar line: for the reader only
//
// Names are c d e f g a b with # or b, and the octave, c4 being middle C (MIDI key 60).
#pragma once

#include <string_view>

#include "smf/midi_file.h"

namespace arsis::demo {

inline constexpr int kDivision = 480;  // ticks per quarter note
inline constexpr int kVelocity = 80;   // of every note: the plans have the dynamics

// Appends the music to a track of the file from `tick` on, on the channel (0..15), and returns the
// tick where it ends. The text is our own and right: a mistake in it ends the program with a
// message.
std::int64_t append_music(MidiFile& file, std::size_t track, std::uint8_t channel,
                          std::int64_t tick, std::string_view text);

}  // namespace arsis::demo
