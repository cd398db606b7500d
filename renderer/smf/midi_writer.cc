// Writes a Standard MIDI File: small, linear, every event with its own status.
#include <fmt/format.h>

#include "smf/midi_file.h"
#include "smf/variable_length.h"

namespace arsis {
namespace {

void put_number(Bytes& out, std::uint64_t number, int bytes) {
  for (int shift = (bytes - 1) * 8; shift >= 0; shift -= 8) {
    out.push_back(static_cast<std::uint8_t>(number >> shift));
  }
}

// False where a gap is too long for the format.
bool put_delta(Bytes& out, std::int64_t delta) {
  if (delta < 0 || delta > kMostVariableLength) return false;
  put_variable_length(out, static_cast<std::uint32_t>(delta));
  return true;
}

}  // namespace

Result<Bytes> write_midi(const MidiFile& file, const std::string& name) {
  Bytes out = {'M', 'T', 'h', 'd'};
  put_number(out, 6, 4);
  put_number(out, static_cast<std::uint64_t>(file.format), 2);
  put_number(out, file.tracks.size(), 2);
  put_number(out, static_cast<std::uint64_t>(file.division), 2);
  for (const MidiTrack& track : file.tracks) {
    out.insert(out.end(), {'M', 'T', 'r', 'k'});
    const std::size_t length_at = out.size();
    put_number(out, 0, 4);
    std::int64_t tick = 0;
    bool fits = true;
    for (const MidiEvent& event : track.events) {
      fits = fits && put_delta(out, event.tick - tick);
      tick = event.tick;
      put_event(out, file.bytes_of(event));
    }
    fits = fits && put_delta(out, std::max(track.end_tick, tick) - tick);
    const std::size_t length = out.size() + 3 - (length_at + 4);
    if (!fits || length > 0xFFFFFFFFu) {
      return fail(
          {.file = name}, "cannot hold so long a gap or so long a track",
          fmt::format("a MIDI file has at most {} ticks between two events", kMostVariableLength));
    }
    out.insert(out.end(), {0xFF, 0x2F, 0x00});
    for (std::size_t i = 0; i < 4; ++i) {
      out[length_at + i] = static_cast<std::uint8_t>(length >> (24 - 8 * i));
    }
  }
  return out;
}

}  // namespace arsis
