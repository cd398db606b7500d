// Bytes and events written as hexadecimal text in the tests.
#pragma once

#include <cstdint>
#include <cstdio>
#include <string>
#include <string_view>
#include <vector>

#include "smf/midi_file.h"

namespace arsis::test {

// "FF 2F 00": blanks are passed over.
inline std::vector<std::uint8_t> hex(std::string_view text) {
  std::vector<std::uint8_t> bytes;
  int digits = 0;
  unsigned value = 0;
  for (const char c : text) {
    if (c == ' ' || c == '\n') continue;
    const unsigned digit =
        c <= '9' ? static_cast<unsigned>(c - '0') : static_cast<unsigned>((c | 0x20) - 'a' + 10);
    value = value << 4 | digit;
    if (++digits == 2) {
      bytes.push_back(static_cast<std::uint8_t>(value));
      digits = 0;
      value = 0;
    }
  }
  return bytes;
}

// A file of format 0 with 96 ticks a quarter note and one track of these events, its length right.
inline std::vector<std::uint8_t> one_track(std::string_view events) {
  const std::vector<std::uint8_t> body = hex(events);
  std::vector<std::uint8_t> file = hex("4D546864 00000006 0000 0001 0060 4D54726B");
  for (int shift = 24; shift >= 0; shift -= 8) {
    file.push_back(static_cast<std::uint8_t>(body.size() >> shift));
  }
  file.insert(file.end(), body.begin(), body.end());
  return file;
}

// The events of a track as "tick: bytes", without tempos.
inline std::string events_of(const MidiFile& file, std::size_t track) {
  std::string text;
  char buffer[16];
  for (const MidiEvent& event : file.tracks[track].events) {
    const auto bytes = file.bytes_of(event);
    if (bytes[0] == 0xFF && bytes[1] == 0x51) continue;
    text += std::to_string(event.tick) + ":";
    for (const std::uint8_t byte : bytes) {
      std::snprintf(buffer, sizeof buffer, " %02X", byte);
      text += buffer;
    }
    text += "\n";
  }
  return text;
}

// The two example files of Standard MIDI Files 1.0 (MIDI Manufacturers Association), section "MIDI
// File Examples": the same music as format 0 and as format 1.
inline constexpr std::string_view kExampleFormat0 =
    "4D546864 00000006 0000 0001 0060 4D54726B 0000003B 00FF580404021808 00FF510307A120"
    "00C005 00C12E 00C246 00923060 003C60 60914340 60904C20 8140823040 003C40 00814340 00804C40"
    "00FF2F00";
inline constexpr std::string_view kExampleFormat1 =
    "4D546864 00000006 0001 0004 0060"
    "4D54726B 00000014 00FF580404021808 00FF510307A120 8300FF2F00"
    "4D54726B 00000010 00C005 8140904C20 81404C00 00FF2F00"
    "4D54726B 0000000F 00C12E 60914340 82204300 00FF2F00"
    "4D54726B 00000015 00C246 00923060 003C60 83003000 003C00 00FF2F00";

}  // namespace arsis::test
