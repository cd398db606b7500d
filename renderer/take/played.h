// A take: what somebody played, as notes in seconds. No file formats; a MIDI file comes here as the
// score that its reader makes of it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/units.h"
#include "score/score.h"

namespace arsis {

struct PlayedNote {
  Seconds onset;  // from the start of the recording
  Seconds end;    // of the key, not of the sound that a pedal holds; after the onset
  std::uint8_t key = 60;
  Velocity velocity;
};

struct PedalChange {
  Seconds at;
  std::uint8_t controller = 64;  // 64 damper, 66 sostenuto, 67 soft. Source: MIDI 1.0, controllers
  std::uint8_t value = 0;        // 0..127
};

struct Take {
  // The most notes of a take that are read: over an hour of quick playing.
  static constexpr std::size_t kMostNotes = 50'000;

  std::string file;                 // where it came from, for messages
  std::vector<PlayedNote> notes;    // by onset, then key: the order that numbers them
  std::vector<PedalChange> pedals;  // by time
};

// The take that a MIDI file holds: all its notes, whatever track or channel they are on, at the
// times that its tempo map says. Error: more than Take::kMostNotes notes.
Result<Take> take_of(const Score& file);

}  // namespace arsis
