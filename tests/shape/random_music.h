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

// A metre: its signature, and how many beats a bar has.
inline TimeSignature random_signature() {
  return *rc::gen::element(TimeSignature{4, 4}, TimeSignature{3, 4}, TimeSignature{6, 8});
}

inline std::string place(int bar, int beat) {
  return std::to_string(bar) + ":" + std::to_string(beat);
}

// Dynamics that do not contradict each other: marks and hairpins one after the other, some of them
// end to end. `part` is empty or ", part: name".
inline std::string random_dynamics(int bars, int beats, const std::string& part) {
  static const std::vector<std::string> kMarks = {"ppp", "pp", "p", "mp", "mf", "f", "ff", "fff"};
  const auto mark = [&] { return kMarks[static_cast<std::size_t>(any(0, 8))]; };
  std::string text = "  - {at: 1:1, mark: " + mark() + part + "}\n";
  for (int bar = 2; bar < bars;) {
    const int end = std::min(bars, bar + any(1, 4));
    const std::string from = place(bar, 1);
    // Half of the hairpins end within a bar, half where the next may begin.
    const std::string to = any(0, 2) == 0 ? place(end, 1) : place(end - 1, any(2, beats + 1));
    const std::string ending = any(0, 3) == 0 ? ", mark: " + mark() : "";
    switch (any(0, 4)) {
      case 0:
        text += "  - {at: " + from + ", mark: " + mark() + part + "}\n";
        break;
      case 1:
        text += "  - {from: " + from + ", to: " + to + ", hairpin: cresc" + ending + part + "}\n";
        break;
      default:
        text += "  - {from: " + from + ", to: " + to + ", hairpin: dim" + ending + part + "}\n";
    }
    bar = end + any(0, 2);
  }
  return text;
}

inline std::string random_marks(int bars, int beats, const MusicWishes& wishes) {
  std::string marks;
  const auto add_mark = [&](const std::string& word) {
    marks += "  - {at: " + place(any(1, bars + 1), any(1, beats + 1)) + ", mark: " + word + "}\n";
  };
  for (int i = any(0, 4); i > 0; --i) {
    add_mark(*rc::gen::element<std::string>("staccato", "tenuto", "portato", "breath"));
  }
  if (wishes.accents && any(0, 2) == 0) {
    add_mark(*rc::gen::element<std::string>("accent", "sf", "marcato"));
  }
  if (wishes.fermatas) add_mark("fermata");
  return marks.empty() ? marks : "marks:\n" + marks;
}

// Sentences over all bars; now and then one starts a bar late, so that a bar is in none.
inline std::string random_sentences(int bars, int beats) {
  const int first_beat = any(0, 2) == 0 ? beats : 1;
  std::string text = "motif: {length: 1 bar, from: " + place(1, first_beat) + "}\nsentences:\n";
  const int motifs_there_are = first_beat == 1 ? bars : bars - 1;
  int sentences = 0;
  for (int done = 0; done < motifs_there_are; ++sentences) {
    std::string from;
    if (sentences > 0 && done + 1 < motifs_there_are && any(0, 5) == 0) {
      ++done;
      from = ", from: " + place(done + 1, first_beat);
    }
    std::string sentence;
    int count = 0;
    for (int i = any(1, 4); i > 0 && done < motifs_there_are; --i) {
      const int motifs = std::min(motifs_there_are - done, any(1, 4));
      done += motifs;
      sentence += (count++ > 0 ? ", " : "") + feet(motifs);
    }
    const std::string swell = any(0, 8) == 0 ? ", shape: {diminuendo: swell}" : "";
    text += "  - {phrases: [" + sentence + "], main: " + std::to_string(any(1, count + 1)) + from +
            swell + "}\n";
  }
  if (any(0, 4) == 0) text += "main: " + std::to_string(any(1, sentences + 1)) + "\n";
  return text;
}

// Numbers of the model anywhere in their ranges, as often as at their initial values.
inline std::string random_shape(const MusicWishes& wishes) {
  std::string text = "shape: {keep: " + wishes.keep;
  const auto now_and_then = [&](const std::string& before, int most, const std::string& after) {
    if (any(0, 4) == 0) text += before + std::to_string(any(0, most + 1)) + after;
  };
  now_and_then(", motif: {linger: ", 60, " %, width: 2 beat}");
  now_and_then(", phrase: {depth: ", 12, " dB}");
  now_and_then(", sentence: {slowing: ", 40, " %}");
  now_and_then(", piece: {slowing: 20 %, linger: ", 60, " %, width: 16 beat}");
  now_and_then(", broadening: ", 20, " %/dB");
  if (wishes.closing) text += ", closing: {length: 1 bar, tempo: 60 %}";
  return text + "}\n";
}

inline std::string random_plan(int bars, int beats, const MusicWishes& wishes) {
  std::string text =
      "arsis: 1\nscore: x.mid\nparts:\n  - {name: r, track: 1, role: melody}\n"
      "  - {name: l, track: 2, role: accompaniment}\n";
  if (any(0, 6) > 0) {
    text += "dynamics:\n" + random_dynamics(bars, beats, "");
    if (any(0, 4) == 0) text += random_dynamics(bars, beats, ", part: l");
  }
  return text + random_marks(bars, beats, wishes) + random_sentences(bars, beats) +
         random_shape(wishes);
}

inline std::vector<TempoChange> random_tempo(double quarters) {
  std::vector<TempoChange> tempo;
  for (int i = any(0, 3); i > 0; --i) {
    tempo.push_back({{any(0, static_cast<int>(quarters) * 2) / 2.0}, any(200'000, 1'500'000)});
  }
  std::ranges::sort(tempo, {}, &TempoChange::at);
  return tempo;
}

inline Music random_music(const MusicWishes& wishes = {}) {
  const int bars = any(2, wishes.most_bars);
  const TimeSignature signature = random_signature();
  const double quarters = signature.bar_length().value * bars;
  ScoreText text;
  const auto whole = static_cast<int>(quarters);
  text.parts = {random_line(whole, 5), random_line(whole, 3)};
  text.tempo = random_tempo(quarters);
  text.signatures = {{{0.0}, signature}};
  Music music;
  music.score = score_of(text);
  RC_PRE(!music.score.notes.empty());
  // The plan speaks of all bars; rests at the end may have made the score shorter.
  music.score.bars = Bars::of(text.signatures, {quarters});
  const Result<Plan> plan = parse_plan(random_plan(bars, signature.beats, wishes), "p.yaml");
  if (!plan) RC_FAIL(to_string(plan.diagnostics().front()));
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
