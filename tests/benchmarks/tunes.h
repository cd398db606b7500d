// A piece for the benchmarks of drafting: eight-bar tunes in 4/4 with a rest every four bars, over
// chords in halves.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <tuple>

#include "score/score.h"

namespace arsis {

inline void add(Score& score, double onset, double length, std::uint16_t part, int key) {
  Note note;
  note.onset = {onset};
  note.end = {onset + length};
  note.part = part;
  note.key = static_cast<std::uint8_t>(key);
  score.notes.push_back(note);
}

// Of two hands, each in a track and channel of its own, or both in one.
inline Score tunes(int bars, bool one_track) {
  Score score;
  score.file = "x.mid";
  const std::uint16_t left = one_track ? 0 : 1;
  score.parts = {{"right", 0, 1, 0}, {"left", 1, 2, 1}};
  score.tracks = {{"right", {bars * 4.0}}, {"left", {bars * 4.0}}};
  if (one_track) {
    score.parts.pop_back();
    score.tracks.pop_back();
  }
  constexpr std::array<int, 7> kScale = {0, 2, 4, 5, 7, 9, 11};
  for (int bar = 0; bar < bars; ++bar) {
    for (const int key : {36, 48, 52, 55}) {
      add(score, bar * 4.0, 2.0, left, key + bar % 5);
      add(score, bar * 4.0 + 2.0, 2.0, left, key + bar % 5);
    }
    const int eighths = bar % 4 == 3 ? 4 : 8;
    for (int i = 0; i < eighths; ++i) {
      const auto step = static_cast<std::size_t>((bar * 5 + i * (bar % 3 + 1)) % 7);
      add(score, bar * 4.0 + i * 0.5, 0.5, 0, 72 + kScale[step]);
    }
  }
  std::ranges::stable_sort(score.notes, {}, [](const Note& note) {
    return std::tuple(note.onset, note.part, note.key);
  });
  std::uint32_t sequence = 0;
  for (Note& note : score.notes) note.sequence = sequence++;
  score.bars = Bars::of({}, score.end());
  return score;
}

}  // namespace arsis
