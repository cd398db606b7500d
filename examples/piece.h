// A demo piece as its composer wrote it, and the MIDI file that it makes.
#pragma once

#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "notation.h"
#include "smf/midi_file.h"

namespace arsis {

struct PieceKey {
  int bar = 0;     // from its downbeat on; 0: from the start
  int sharps = 0;  // -7 (seven flats) .. 7
  bool minor = false;
};

struct PieceMeter {
  int beats = 3;
  int beat_unit = 4;  // 4 or 8
  int pickup = 0;     // beats before bar 1
};

struct Piece {
  std::string_view file;  // name of its MIDI file
  std::string_view title;
  int tempo = 120;  // quarter notes a minute
  PieceMeter meter;
  std::vector<PieceKey> keys;           // by bar
  std::vector<std::string_view> right;  // the voices of each hand, in the notation of notation.h
  std::vector<std::string_view> left;
  std::string_view pedal;  // in the same notation, p and r only; may be empty
};

// All demo pieces.
std::vector<Piece> demo_pieces();
Piece lantern_song();
Piece ferry_study();
Piece mill_round();

// Format 1, 480 ticks a quarter note: a track "conductor" with title, tempo, time and key
// signatures, then "right hand" on channel 1 and "left hand" on channel 2, grand piano, all notes
// at velocity 80 and of their written lengths: what a notation program exports. Errors: notation
// that cannot be read, voices of unequal length, a key struck in one hand while the same hand holds
// it.
Result<MidiFile> midi_of(const Piece& piece);

// The bytes of its MIDI file.
Result<Bytes> midi_bytes_of(const Piece& piece);

}  // namespace arsis
