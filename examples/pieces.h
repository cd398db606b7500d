// The demo scores: pieces of our own for an evening of lanterns, a ferry and a mill.
#pragma once

#include <span>
#include <string_view>

#include "smf/midi_file.h"

namespace arsis::demo {

struct Piece {
  std::string_view file;  // "lantern-song.mid"
  MidiFile (*make)();
};

std::span<const Piece> pieces();

}  // namespace arsis::demo
