// Scores written by hand in tests: the notes of each part as a line of text.
//
//   "C5 D5/2 E5/0.5 r/1 C4+E4+G4!90"    a quarter, a half, an eighth, a quarter's rest, a chord
//   "C5/4 @1 E4 F4 G4"                  @ goes to a quarter note counted from the start of the
//   score
//
// A note is its pitch (C4 is middle C, MIDI note 60; # and b), joined by + to a chord, then
// /length in quarter notes (1 where none is written), then !velocity (64 where none is).
#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include "base/text.h"
#include "score/score.h"

namespace arsis::test {

// What a test says of a score; parts are tracks in order, each on its own channel.
struct ScoreText {
  std::vector<std::string> parts = {};
  std::vector<std::string> names = {};  // of the parts; "" for those not listed
  std::vector<TimeSignatureChange> signatures = {};
  std::vector<TempoChange> tempo = {};
  std::optional<Beats> pickup = {};
  int division = 480;
};

// A test that writes nonsense must not pass by chance: it ends here.
inline void require(bool holds, const std::string& what) {
  if (!holds) throw std::invalid_argument("score_builder: " + what);
}

// "C4" -> 60, "F#5" -> 78, "Bb3" -> 58.
inline int key_of(std::string_view pitch) {
  constexpr std::string_view kLetters = "C D EF G A B";  // each at its semitone
  require(pitch.size() >= 2, "no pitch: " + std::string(pitch));
  const std::size_t semitone = kLetters.find(pitch[0]);
  require(pitch[0] != ' ' && semitone != std::string_view::npos, "no note name");
  int key = static_cast<int>(semitone);
  pitch.remove_prefix(1);
  if (pitch[0] == '#' || pitch[0] == 'b') {
    key += pitch[0] == '#' ? 1 : -1;
    pitch.remove_prefix(1);
  }
  const auto octave = parse_integer(pitch);
  require(octave.has_value(), "no octave");
  key += 12 * (static_cast<int>(*octave) + 1);
  require(key >= 0 && key <= 127, "no MIDI note");
  return key;
}

inline double number_of(std::string_view text) {
  const auto number = parse_number(text);
  require(number.has_value(), "no number: " + std::string(text));
  return *number;
}

// One word of a part's line: adds its notes and moves the cursor behind them.
inline void add_word(Score& score, std::uint16_t part, std::string_view word, double& cursor) {
  if (word[0] == '@') {
    cursor = number_of(word.substr(1));
    return;
  }
  Velocity velocity = Velocity::clamped(64);
  if (const std::size_t mark = word.find('!'); mark != std::string_view::npos) {
    velocity = Velocity::clamped(number_of(word.substr(mark + 1)));
    word = word.substr(0, mark);
  }
  double length = 1.0;
  if (const std::size_t slash = word.find('/'); slash != std::string_view::npos) {
    length = number_of(word.substr(slash + 1));
    word = word.substr(0, slash);
  }
  const double begin = cursor;
  cursor += length;
  if (word == "r") return;
  for (std::size_t at = 0; at <= word.size();) {
    const std::size_t plus = std::min(word.find('+', at), word.size());
    Note note;
    note.onset = score.snapped({begin});
    note.end = score.snapped({cursor});
    note.part = part;
    note.key = static_cast<std::uint8_t>(key_of(word.substr(at, plus - at)));
    note.velocity = velocity;
    score.notes.push_back(note);
    at = plus + 1;
  }
}

inline void add_part(Score& score, const std::string& line, const std::string& name) {
  const auto index = static_cast<std::uint16_t>(score.parts.size());
  score.parts.push_back(
      {name, index, static_cast<int>(index) + 1, static_cast<std::uint8_t>(index % 16)});
  double cursor = 0.0;
  for (std::size_t at = 0; at < line.size();) {
    const std::size_t begin = line.find_first_not_of(" \n", at);
    if (begin == std::string::npos) break;
    at = std::min(line.find_first_of(" \n", begin), line.size());
    add_word(score, index, std::string_view(line).substr(begin, at - begin), cursor);
  }
  score.tracks.push_back({name, {cursor}});
}

inline Score score_of(const ScoreText& text) {
  Score score;
  score.file = "test.mid";
  score.division = text.division;
  for (std::size_t i = 0; i < text.parts.size(); ++i) {
    add_part(score, text.parts[i], i < text.names.size() ? text.names[i] : std::string());
  }
  std::ranges::sort(score.notes, [](const Note& a, const Note& b) {
    return std::tuple(a.onset, a.part, a.key) < std::tuple(b.onset, b.part, b.key);
  });
  std::uint32_t sequence = 0;
  for (Note& note : score.notes) note.sequence = sequence++;
  score.signatures = text.signatures;
  score.tempo = TempoMap(text.tempo);
  score.bars = Bars::of(score.signatures, score.end(), text.pickup);
  return score;
}

// One part in 4/4, or in another time signature, from its first bar on or after a pickup.
inline Score score_of(std::string_view melody, TimeSignature signature = {},
                      std::optional<Beats> pickup = std::nullopt) {
  ScoreText text;
  text.parts.emplace_back(melody);
  text.signatures.push_back({{0.0}, signature});
  text.pickup = pickup;
  return score_of(text);
}

// `count` equal notes of one key: "C5/1 C5/1 ...".
inline std::string repeated(std::string_view word, int count) {
  std::string text;
  for (int i = 0; i < count; ++i) text += std::string(word) + " ";
  return text;
}

}  // namespace arsis::test
