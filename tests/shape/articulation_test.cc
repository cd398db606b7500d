// How long notes sound: joined, repeated, breathing, under marks.
#include "shape/articulation.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "plan/plan_reader.h"
#include "score_builder.h"
#include "shape/perform.h"

namespace arsis {
namespace {

constexpr double kTick = 0.0006;  // a little over a tick of 960 at 120 quarter notes a minute

// Flat, so that every beat lasts half a second, with the touch as asked.
Shaped play(const Score& score, const std::string& lines, Layers layers = {}) {
  const Result<Plan> plan = parse_plan(
      "arsis: 1\nscore: x.mid\nparts:\n  - {name: r, track: 1, role: melody}\n" + lines, "p.yaml");
  EXPECT_TRUE(plan) << to_string(plan.diagnostics().front());
  const Result<BoundPlan> bound = bind_plan(*plan, score);
  EXPECT_TRUE(bound) << to_string(bound.diagnostics().front());
  return perform(score, *bound, layers);
}

Layers flat() {
  Layers layers;
  layers.amount = 0.0;
  return layers;
}

constexpr const char* kOneMotif =
    "motif: {length: 2 bars, from: 1:1}\nsentences: [{phrases: [/], main: 1}]\n";

double length(const Shaped& shaped, std::size_t note) {
  return (shaped.performance.notes[note].end - shaped.performance.notes[note].onset).value;
}

TEST(Articulation, SoundsMarkedNotesForTheirShare) {
  // Source: staccato 40 % of the interval, repeated notes 60 %: Bresin & Battel 2000, JNMR 29(3).
  // The others are our choice, as the table of constants says.
  const Score score = test::score_of("C5 D5 E5 F5 G5 A5 B5 C6");
  struct Row {
    const char* mark;
    double share;
  };
  for (const Row& row : {Row{"staccato", .40}, Row{"staccatissimo", .25}, Row{"portato", .75},
                         Row{"marcato", .80}, Row{"tenuto", 1.0}}) {
    SCOPED_TRACE(row.mark);
    const Shaped shaped = play(
        score, std::string("marks: [{at: 1:2, mark: ") + row.mark + "}]\n" + kOneMotif, flat());
    EXPECT_NEAR(length(shaped, 1), 0.5 * row.share, kTick);
  }
}

TEST(Articulation, TakesADotUnderADashForPortato) {
  const Score score = test::score_of("C5 D5 E5 F5 G5 A5 B5 C6");
  const Shaped shaped =
      play(score,
           std::string("marks: [{at: 1:2, mark: staccato}, {at: 1:2, mark: tenuto}]\n") + kOneMotif,
           flat());
  EXPECT_NEAR(length(shaped, 1), 0.5 * 0.75, kTick);
}

TEST(Articulation, ReleasesARepeatedKeyBeforeItStrikesAgain) {
  const Score score = test::score_of("C5 C5 D5/4 D5/2");
  const Shaped shaped = play(score, kOneMotif, flat());
  EXPECT_NEAR(length(shaped, 0), 0.300, kTick);        // 60 % of 500 ms
  EXPECT_NEAR(length(shaped, 2), 2.0 - 0.250, kTick);  // of a long one, no longer a gap than 250 ms
}

TEST(Articulation, JoinsNotesInsideAMotif) {
  const Score score = test::score_of("C5 D5 E5/2 F5/4");
  const Shaped shaped = play(score, kOneMotif, flat());
  EXPECT_NEAR(length(shaped, 0), 0.5 + 0.04, kTick);  // 8 % of the interval
  EXPECT_NEAR(length(shaped, 2), 1.0 + 0.06, kTick);  // at most 60 ms
}

TEST(Articulation, TakesAnExportsShortNotesForWhole) {
  // 456 of 480 ticks, as notation programs write them; a half length is a rest after the note.
  const Score score = test::score_of("C5/0.95 @1 D5/0.95 @2 E5/0.5 @3 F5/0.95 @4 G5/4");
  const std::string plan =
      "motif: {length: 1 bar, from: 1:1}\nsentences:\n  - {phrases: [/], main: 1}\n"
      "  - {phrases: [/], main: 1}\nshape: {keep: off}\n";
  const Shaped shaped = play(score, plan, flat());
  EXPECT_NEAR(length(shaped, 0), 0.54, kTick);  // joined
  EXPECT_NEAR(length(shaped, 2), 0.25, kTick);
  const Shaped breathing = play(score, plan);
  EXPECT_NEAR((breathing.performance.notes[4].onset - breathing.performance.notes[3].end).value,
              0.120, 1e-6);
  Layers off = flat();
  off.touch = false;
  EXPECT_NEAR(length(play(score, plan, off), 0), 0.475, 1e-9);
}

TEST(Articulation, DoesNotJoinAcrossTheEndOfAMotif) {
  const Score score = test::score_of("C5 D5 E5 F5 G5 A5 B5 C6");
  const Shaped shaped = play(
      score, "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [/ u], main: 1}]\n", flat());
  EXPECT_NEAR(length(shaped, 3), 0.5, kTick);
  EXPECT_NEAR(length(shaped, 2), 0.54, kTick);
}

TEST(Articulation, BreathesAsTheLargestLevelThatCloses) {
  const Score score = test::score_of(test::repeated("C5 D5 E5 F5", 6));
  const std::string plan =
      "motif: {length: 1 bar, from: 1:1}\n"
      "sentences:\n  - {phrases: [/ u, / u], main: 1}\n  - {phrases: [/ u], main: 1}\n";
  const Shaped shaped = play(score, plan);
  const auto gap = [&](std::size_t note) {
    return (shaped.performance.time.seconds_at(score.notes[note].end) -
            shaped.performance.notes[note].end)
        .value;
  };
  EXPECT_NEAR(gap(3), 0.020, 1e-9);   // a motif
  EXPECT_NEAR(gap(7), 0.060, 1e-9);   // a phrase
  EXPECT_NEAR(gap(15), 0.120, 1e-9);  // a sentence
  Layers no_sentences;
  no_sentences.heard[index_of(Level::kSentence)] = false;
  const Shaped without = play(score, plan, no_sentences);
  EXPECT_NEAR(
      (without.performance.time.seconds_at(score.notes[15].end) - without.performance.notes[15].end)
          .value,
      0.060, 1e-9);
}

TEST(Articulation, GivesABreathAtMostItsShareOfTheNote) {
  const Score score = test::score_of("C5 D5 E5 F5/0.1 @4 C5/4");
  const Shaped shaped =
      play(score,
           "motif: {length: 1 bar, from: 1:1}\nsentences:\n  - {phrases: [/], main: 1}\n"
           "  - {phrases: [/], main: 1}\nshape: {keep: off}\n");
  EXPECT_GT(length(shaped, 3), 0.02);
}

TEST(Articulation, LiftsAtAWrittenBreath) {
  const Score score = test::score_of("C5 D5 E5 F5 G5 A5 B5 C6");
  const Shaped shaped =
      play(score, std::string("marks: [{at: 1:3, mark: breath}]\n") + kOneMotif, flat());
  EXPECT_NEAR(length(shaped, 1), 0.5 - 0.150, kTick);
}

TEST(Articulation, LastsAsWrittenWithTheTouchOff) {
  const Score score = test::score_of("C5 C5 D5 E5 F5 G5 A5 B5");
  Layers layers = flat();
  layers.touch = false;
  const Shaped shaped =
      play(score, std::string("marks: [{at: 1:3, mark: staccato}]\n") + kOneMotif, layers);
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    EXPECT_NEAR(length(shaped, i), 0.5, 1e-9) << i;
  }
}

TEST(Articulation, HoldsAFermata) {
  const Score score = test::score_of("C5 D5 E5 F5 G5 A5 B5 C6");
  const Shaped shaped =
      play(score, std::string("marks: [{at: 2:1, mark: fermata}]\n") + kOneMotif, flat());
  const auto onset = [&](std::size_t i) { return shaped.performance.notes[i].onset.value; };
  EXPECT_NEAR(onset(4), 2.0, 1e-9);
  EXPECT_NEAR(onset(5) - onset(4), 0.5 * 1.75, 1e-9);
  EXPECT_NEAR(onset(6) - onset(5), 0.5, 1e-9);
}

}  // namespace
}  // namespace arsis
