// Several files of the same tracks made one: each after the other, with a silence between and a
// marker where it begins.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "base/units.h"
#include "smf/midi_file.h"

namespace arsis {

struct NamedMidi {
  MidiFile file;
  std::string name;  // of its marker (FF 06)
};

struct JoinedMidi {
  MidiFile file;
  std::vector<Seconds> begins;  // of each, from the start of the file
};

// What a file says of itself as a whole (FF 00 to FF 03: number, text, copyright, track name) is
// kept of the first one alone. Before each later one every channel's controllers are reset (MIDI
// 1.0, Reset All Controllers), as far as the channel was used. Each begins a whole number of
// quarter notes after the one before, on a time signature of its own where it has one.
//   pieces   not empty; of one division, with as many tracks each and all tempos in the first track
//   silence  between one's last event and the next one's beginning, 0.1 to 8 s
JoinedMidi joined(std::span<const NamedMidi> pieces, Seconds silence);

}  // namespace arsis
