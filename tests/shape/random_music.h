// Random scores with random plans laid over them, for properties.
#pragma once

#include <rapidcheck.h>

#include <algorithm>
#include <string>
#include <vector>

#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "score_builder.h"
#include "shape/layers.h"

namespace arsis::test {

struct Music {
  Score score;
  Plan plan;
  BoundPlan bound;
};

struct MusicWishes {
  bool fermatas = false;
  bool accents = true;
  bool closing = false;
  std::string keep = "sentence";
  int most_bars = 14;
};

inline int any(int from, int below) { return *rc::gen::inRange(from, below); }

// A melody in quarters, eighths, chords and rests, `quarters` long.
inline std::string random_line(int quarters, int lowest) {
  static const std::vector<std::string> kNames = {"C", "D", "E", "F", "G", "A", "B"};
  std::string line;
  const auto pitch = [&] {
    return kNames[static_cast<std::size_t>(any(0, 7))] + std::to_string(lowest + any(0, 2));
  };
  for (int left = quarters * 2; left > 0;) {  // in eighths
    const int length = std::min(left, *rc::gen::element(1, 1, 2, 2, 3, 4));
    left -= length;
    const int kind = any(0, 10);
    std::string word = kind == 0 ? "r" : pitch();
    if (kind == 1) {
      const std::string other = pitch();
      if (other != word) word += "+" + other;
    }
    line += word + "/" + std::to_string(length) + "/2 ";  // in quarters: "C4/3/2"
  }
  return line;
}

inline std::string feet(int motifs) {
  const int main = any(0, motifs);
  std::string text;
  for (int i = 0; i < motifs; ++i) text += i == main ? "/ " : "u ";
  return text;
}

// Dynamics that do not contradict each other: marks and hairpins one after the other.
inline std::string random_dynamics(int bars) {
  static const std::vector<std::string> kMarks = {"ppp", "pp", "p", "mp", "mf", "f", "ff", "fff"};
  const auto mark = [&] { return kMarks[static_cast<std::size_t>(any(0, 8))]; };
  std::string text = "dynamics:\n  - {at: 1:1, mark: " + mark() + "}\n";
  for (int bar = 2; bar < bars;) {
    const int length = any(1, 4);
    const int end = std::min(bars, bar + length);
    const std::string from = std::to_string(bar) + ":1";
    const std::string to = std::to_string(end) + ":1";
    switch (any(0, 4)) {
      case 0:
        text += "  - {at: " + from + ", mark: " + mark() + "}\n";
        break;
      case 1:
        text += "  - {from: " + from + ", to: " + to + ", hairpin: cresc}\n";
        break;
      default:
        text += "  - {from: " + from + ", to: " + to + ", hairpin: dim}\n";
    }
    bar = end + any(0, 2);
    if (bar == end) ++bar;  // one moment between two, so that they never meet on a mark
  }
  return text;
}

inline std::string random_plan(int bars, const MusicWishes& wishes) {
  std::string text =
      "arsis: 1\nscore: x.mid\nparts:\n  - {name: r, track: 1, role: melody}\n"
      "  - {name: l, track: 2, role: accompaniment}\n";
  if (any(0, 6) > 0) text += random_dynamics(bars);
  std::string marks;
  const auto add_mark = [&](const std::string& word) {
    marks += "  - {at: " + std::to_string(any(1, bars + 1)) + ":" + std::to_string(any(1, 5)) +
             ", mark: " + word + "}\n";
  };
  for (int i = any(0, 4); i > 0; --i) {
    add_mark(*rc::gen::element<std::string>("staccato", "tenuto", "portato", "breath"));
  }
  if (wishes.accents && any(0, 2) == 0) {
    add_mark(*rc::gen::element<std::string>("accent", "sf", "marcato"));
  }
  if (wishes.fermatas) add_mark("fermata");
  if (!marks.empty()) text += "marks:\n" + marks;
  const bool upbeat = any(0, 2) == 0;
  text += std::string("motif: {length: 1 bar, from: ") + (upbeat ? "1:4" : "1:1") + "}\n";
  text += "sentences:\n";
  int left = upbeat ? bars - 1 : bars;
  while (left > 0) {
    const int phrases = any(1, 4);
    std::string sentence;
    int count = 0;
    for (int i = 0; i < phrases && left > 0; ++i) {
      const int motifs = std::min(left, any(1, 4));
      left -= motifs;
      sentence += (count++ > 0 ? ", " : "") + feet(motifs);
    }
    text += "  - {phrases: [" + sentence + "], main: " + std::to_string(any(1, count + 1)) + "}\n";
  }
  text += "shape: {keep: " + wishes.keep;
  if (any(0, 3) == 0) text += ", phrase: {depth: " + std::to_string(any(0, 9)) + " dB}";
  if (any(0, 3) == 0) text += ", motif: {linger: " + std::to_string(any(0, 20)) + " %}";
  if (wishes.closing) text += ", closing: {length: 1 bar, tempo: 60 %}";
  return text + "}\n";
}

inline std::vector<TempoChange> random_tempo(int bars) {
  std::vector<TempoChange> tempo;
  for (int i = any(0, 3); i > 0; --i) {
    tempo.push_back({{any(0, bars * 8) / 2.0}, any(200'000, 1'500'000)});
  }
  std::ranges::sort(tempo, {}, &TempoChange::at);
  return tempo;
}

inline Music random_music(const MusicWishes& wishes = {}) {
  const int bars = any(2, wishes.most_bars);
  ScoreText text;
  text.parts = {random_line(bars * 4, 5), random_line(bars * 4, 3)};
  text.tempo = random_tempo(bars);
  Music music;
  music.score = score_of(text);
  RC_PRE(!music.score.notes.empty());
  // The plan speaks of all bars; rests at the end may have made the score shorter.
  music.score.bars = Bars::of({}, {bars * 4.0});
  const Result<Plan> plan = parse_plan(random_plan(bars, wishes), "p.yaml");
  RC_ASSERT(static_cast<bool>(plan));
  music.plan = *plan;
  RC_PRE(std::ranges::any_of(music.score.notes, [](const Note& n) { return n.part == 0; }));
  Result<BoundPlan> bound = bind_plan(music.plan, music.score);
  if (!bound) RC_FAIL(to_string(bound.diagnostics().front()));
  music.bound = *std::move(bound);
  return music;
}

inline Layers random_layers() {
  Layers layers;
  for (bool& heard : layers.heard) heard = any(0, 4) > 0;
  layers.amount = any(0, 201) / 100.0;
  layers.touch = any(0, 4) > 0;
  if (any(0, 3) == 0) layers.seed = static_cast<std::uint64_t>(any(0, 1000));
  return layers;
}

}  // namespace arsis::test
