// A Standard MIDI File as data: every event of every track, in order, none lost.
// Source: Standard MIDI Files 1.0 (MIDI Manufacturers Association, 1988/1996).
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/files.h"

namespace arsis {

inline constexpr std::uint8_t kMeta = 0xFF;       // status of a meta event
inline constexpr std::uint8_t kExclusive = 0xF0;  // and of a system-exclusive

// One event. Its bytes are without delta time and without the length field: FF tt data..., F0
// data... (with its closing F7 where the file has it), F7 data..., or a whole channel message with
// its status.
struct MidiEvent {
  std::int64_t tick = 0;    // from the start of the track
  std::uint32_t first = 0;  // place of its bytes in MidiFile::bytes
  std::uint32_t size = 0;
  std::uint32_t offset = 0;  // of its delta time in the file that was read, for messages; else 0
};

struct MidiTrack {
  std::vector<MidiEvent> events;  // by tick, in file order; without the end of track
  std::int64_t end_tick = 0;      // of the end-of-track event
};

struct MidiFile {
  int format = 1;      // 0 (one track) or 1
  int division = 480;  // ticks per quarter note, 1..32767
  std::vector<MidiTrack> tracks;
  std::vector<std::uint8_t> bytes;

  std::span<const std::uint8_t> bytes_of(const MidiEvent& event) const {
    return std::span(bytes).subspan(event.first, event.size);
  }
  // Adds an event after the track's last one; its tick may not be before that one's.
  void append(std::size_t track, std::int64_t tick, std::span<const std::uint8_t> event);
};

// Limits of the reader.
inline constexpr std::size_t kMostMidiBytes = 64u << 20;
inline constexpr std::size_t kMostMidiEvents = 8'000'000;  // of all tracks; four million notes
inline constexpr std::int64_t kLatestTick = std::int64_t{1} << 40;  // centuries at any tempo

// Reads a file's bytes. `name` is for messages. Warnings tell, naming track and byte, what was
// damaged and how it was read; errors are what cannot be read at all.
Result<MidiFile> read_midi(std::span<const std::uint8_t> bytes, const std::string& name);

// The file's bytes: no running status, so that each event can be read alone. Error: a gap between
// two events of over 0x0FFFFFFF ticks, which the format cannot hold; `name` is for that message.
Result<Bytes> write_midi(const MidiFile& file, const std::string& name);

}  // namespace arsis
