// Which note-off ends which note-on.
#pragma once

#include <vector>

#include "smf/chunks.h"
#include "smf/midi_file.h"

namespace arsis {

struct PairedNote {
  std::int64_t on = 0;
  std::int64_t off = 0;        // after `on`
  std::uint32_t sequence = 0;  // of the note-on among the track's events
  std::uint8_t channel = 0;
  std::uint8_t key = 0;
  std::uint8_t velocity = 1;
  std::uint8_t release_velocity = 0;
};

// The notes of one track, in order of their onsets; of one key and channel no two overlap. What had
// to be mended is told with track and byte.
//   A key struck again before its release ends there; the releases then belong to the strikes in
//   order, unless some are missing: then a release ends the latest strike.
//   A key struck twice at one tick is one note, as loud and as long as the more so of them.
//   A note without a release ends with its track; one without length lasts a tick.
std::vector<PairedNote> pair_notes(const MidiFile& file, std::size_t track, DamageReport& damage);

}  // namespace arsis
