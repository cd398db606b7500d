// The sung melody in sound: pitches and levels measured in what the synthesizer makes of it, with a
// SoundFont of one sine wave.
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "score_builder.h"
#include "shape/sing.h"
#include "tool/sine_rendering.h"

namespace arsis {
namespace {

// Frequency of a sine wave between two moments, from its rising zero crossings.
double frequency(const test::Recording& sound, double from, double to) {
  std::vector<double> crossings;
  for (auto i = static_cast<std::size_t>(from * sound.rate);
       i + 1 < static_cast<std::size_t>(to * sound.rate); ++i) {
    const double a = sound.left[i];
    const double b = sound.left[i + 1];
    if (a < 0.0 && b >= 0.0) crossings.push_back(static_cast<double>(i) + a / (a - b));
  }
  if (crossings.size() < 2) return 0.0;
  return static_cast<double>(crossings.size() - 1) * sound.rate /
         (crossings.back() - crossings.front());
}

double cents(double frequency, int key) {
  return 1200.0 * std::log2(frequency / (440.0 * std::exp2((key - 69) / 12.0)));
}

struct Heard {
  Score score;
  BoundPlan plan;
  Sung sung;
  test::Recording sound;
};

// Two motifs of four slow notes, with wide and narrow glides; the second leads.
Heard hear() {
  Heard heard;
  test::ScoreText text;
  text.parts = {"A4/2 E5/2 C5/2 A5/2 G5/2 D4/2 F#4/2 B4/2"};
  text.tempo = {{{0.0}, 500'000}};
  text.signatures = {{{0.0}, {8, 4}}};
  heard.score = test::score_of(text);
  const Result<Plan> plan = parse_plan(
      "arsis: 1\nscore: x.mid\nparts: [{name: r, track: 1, role: melody}]\n"
      "dynamics: [{at: 1:1, mark: f}]\nmotif: {length: 1 bar, from: 1:1}\n"
      "sentences: [{phrases: [u /], main: 1}]\n",
      "p.yaml");
  EXPECT_TRUE(plan);
  Result<BoundPlan> bound = bind_plan(*plan, heard.score);
  EXPECT_TRUE(bound);
  heard.plan = *std::move(bound);
  heard.sung = sing(heard.score, heard.plan, {}, {{0.0}, {100.0}}, 0);
  heard.sound = test::sine_rendering(heard.sung.score, heard.sung.performance);
  return heard;
}

TEST(Sung, EndsEveryGlideOnPitchWithinFiveCents) {
  const Heard heard = hear();
  for (const Note& note : heard.score.notes) {
    // From a little after the onset, for a quarter of a second.
    const double from = heard.sung.performance.time.seconds_at(note.onset).value + 0.03;
    EXPECT_NEAR(cents(frequency(heard.sound, from, from + 0.25), note.key), 0.0, 5.0)
        << note.onset.value;
  }
}

TEST(Sung, GlidesBetweenTheNotesOfAMotifAndNotBetweenMotifs) {
  const Heard heard = hear();
  const auto seconds_at = [&](double beat) {
    return heard.sung.performance.time.seconds_at({beat}).value;
  };
  // A4 to E5, 60 ms before the second note: three quarters of seven semitones, on the way.
  const double halfway = seconds_at(2.0) - 0.06;
  const double between = cents(frequency(heard.sound, halfway - 0.01, halfway + 0.01), 69);
  EXPECT_GT(between, 300.0);
  EXPECT_LT(between, 690.0);
  // The first motif's last note, A5, stays on its pitch to its end.
  const double end = heard.sung.performance.notes[0].end.value;
  EXPECT_NEAR(cents(frequency(heard.sound, end - 0.1, end - 0.01), 81), 0.0, 5.0);
}

TEST(Sung, GrowsAsTheArcsSayBetweenTheNotes) {
  const Heard heard = hear();
  const auto level_at = [&](double beat) {
    const double at = heard.sung.performance.time.seconds_at({beat}).value;
    return test::level_db(heard.sound, at - 0.02, at + 0.02);
  };
  // Within the second note of the second motif, which leads to its fourth.
  EXPECT_GT(level_at(11.8), level_at(10.2) + 0.4);
  // From the opening of the piece to its main goal: all three depths, 7.5 dB.
  EXPECT_NEAR(level_at(14.1) - level_at(0.15), 7.5, 0.8);
}

}  // namespace
}  // namespace arsis
