// Small MIDI files as bytes, for what the demo scores do not have.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace arsis::test {

struct StruckKey {
  int at = 0;      // quarter notes from the start
  int key = 60;    // MIDI note number
  int length = 1;  // quarter notes
};

// One track on one channel (0..15), 4/4, one tick a quarter note; keys in order of `at`, at most
// 100 quarter notes.
inline std::string small_midi(const std::vector<StruckKey>& keys, int channel) {
  std::string events;
  const auto event = [&](int delta, int status, int key, int velocity) {
    for (const int byte : {delta, status | channel, key, velocity}) {
      events += static_cast<char>(byte);
    }
  };
  int last = 0;
  for (int at = 0; at <= 110; ++at) {
    for (const StruckKey& each : keys) {
      if (each.at + each.length != at) continue;
      event(at - last, 0x80, each.key, 64);
      last = at;
    }
    for (const StruckKey& each : keys) {
      if (each.at != at) continue;
      event(at - last, 0x90, each.key, 64);
      last = at;
    }
  }
  events += std::string("\x00\xFF\x2F\x00", 4);
  const auto size = static_cast<std::uint32_t>(events.size());
  std::string file("MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x01MTrk", 18);
  for (const int shift : {24, 16, 8, 0}) file += static_cast<char>(size >> shift & 0xFF);
  return file + events;
}

// Sixteen strokes of a drum.
inline std::string drum_beat() {
  std::vector<StruckKey> strokes;
  for (int at = 0; at < 16; ++at) strokes.push_back({at, 38, 1});
  return small_midi(strokes, 9);
}

// A tune over broken chords, both hands in one track.
inline std::string one_track_piano() {
  std::vector<StruckKey> keys;
  const std::vector<int> tune = {72, 74, 76, 77, 79, 77, 76, 72, 72, 74, 76, 77, 79, 81, 83, 84};
  for (int at = 0; at < 32; ++at) {
    if (at % 2 == 0) keys.push_back({at, tune[static_cast<std::size_t>(at / 2)], 2});
    keys.push_back({at, at % 2 == 0 ? 48 : 55, 1});
  }
  return small_midi(keys, 0);
}

}  // namespace arsis::test
