// Parses the bytes of one track, whatever they are, into whole events: running status resolved,
// bounds kept, damage told. What comes out is safe for any library.
#pragma once

#include "smf/chunks.h"
#include "smf/midi_file.h"

namespace arsis {

struct TrackExtent {
  std::size_t number = 1;    // from 1, for messages
  std::size_t begin = 0;     // first byte after the chunk's head
  std::size_t declared = 0;  // where the chunk says it ends; may lie past `limit`
  std::size_t limit = 0;     // end of the file
  std::size_t most_events = kMostMidiEvents;
};

struct TrackRead {
  std::size_t end = 0;      // offset after what was read
  bool whole = false;       // up to an end-of-track event
  bool lengthened = false;  // past the chunk's end, and told
  bool too_much = false;    // more than `most_events`; the rest is not read
};

// Appends a track to `file` and returns how far it was read. A track that ends
// without an end of track, or in the middle of an event, ends there with a warning. A chunk that
// ends too early, with no other chunk after it, is read on to its end of track, but not into
// another track.
TrackRead read_track(std::span<const std::uint8_t> bytes, const TrackExtent& extent, MidiFile& file,
                     DamageReport& damage);

}  // namespace arsis
