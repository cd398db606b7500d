// The time of a performance against an integration of the model's formula written here anew.
#include "shape/time.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include "plan/plan_reader.h"
#include "score_builder.h"
#include "shape/closing.h"
#include "shape/perform.h"
#include "shape/time_grid.h"

namespace arsis {
namespace {

BoundPlan bound_plan(const Score& score, const std::string& lines) {
  const Result<Plan> plan = parse_plan(
      "arsis: 1\nscore: x.mid\nparts: [{name: r, track: 1, role: melody}]\n" + lines, "p.yaml");
  EXPECT_TRUE(plan) << to_string(plan.diagnostics().front());
  const Result<BoundPlan> bound = bind_plan(*plan, score);
  EXPECT_TRUE(bound) << to_string(bound.diagnostics().front());
  return *bound;
}

constexpr const char* kTwoSentences =
    "motif: {length: 1 bar, from: 1:1}\n"
    "sentences:\n  - {phrases: [u / u, / u], main: 2}\n  - {phrases: [u /, u /, / u], main: 1}\n";

Score eleven_bars() {
  test::ScoreText text;
  text.parts = {test::repeated("C5 D5/2 E5", 11)};
  text.tempo = {{{0.0}, 600'000}, {{14.0}, 450'000}, {{30.5}, 800'000}};
  return test::score_of(text);
}

// F(t) = 1 + sum c (1 - A) + sum g w, as the model's description has it, with the numbers of its
// table.
double factor(const BoundPlan& plan, double t) {
  struct Numbers {
    const std::vector<Block>* blocks;
    double slowing, linger;
  };
  const Numbers levels[] = {
      {&plan.motifs, 0.015, 0.02}, {&plan.phrases, 0.05, 0.04}, {&plan.sentences, 0.04, 0.06}};
  double f = 1.0;
  for (const Numbers& level : levels) {
    for (const Block& block : *level.blocks) {
      const double s = block.span.begin.value;
      const double e = block.span.end.value;
      const double g = block.goal.value;
      if (t >= s && t < e) {
        const double x = t < g ? (g - t) / (g - s) : e > g ? (t - g) / (e - g) : 0.0;
        f += level.slowing * x * x;
      }
      // Within the sentence that holds the block.
      const auto sentence = std::ranges::find_if(
          plan.sentences, [&](const Block& whole) { return whole.span.holds(block.goal); });
      const double distance = std::abs(t - g);
      if (sentence->span.holds({t}) && distance < 1.0) {
        f += level.linger * 0.5 * (1.0 + std::cos(std::numbers::pi * distance));
      }
    }
  }
  return f;
}

// Seconds from `from` to `to` with the factor over the written tempo, by small steps.
double integrated(const Score& score, const BoundPlan& plan, double from, double to) {
  constexpr int kSteps = 1000;  // for each quarter note
  const auto steps = static_cast<int>(std::lround((to - from) * kSteps));
  double seconds = 0.0;
  for (int i = 0; i < steps; ++i) {
    const double t = from + (i + 0.5) / kSteps;
    const double pace = static_cast<double>(score.tempo.microseconds_per_quarter_at({t})) / 1e6;
    seconds += factor(plan, t) * pace / kSteps;
  }
  return seconds;
}

TEST(Time, IsTheIntegralOfTheModelsFactor) {
  const Score score = eleven_bars();
  const BoundPlan plan = bound_plan(score, std::string(kTwoSentences) + "shape: {keep: off}\n");
  const TimeMap time = perform(score, plan).performance.time;
  for (int beat = 4; beat <= 44; beat += 4) {
    EXPECT_NEAR(time.seconds_at({static_cast<double>(beat)}).value,
                integrated(score, plan, 0.0, beat), 2e-4)
        << beat;
  }
}

TEST(Time, SpreadsTheSameWithinEachKeptUnit) {
  const Score score = eleven_bars();
  const BoundPlan plan = bound_plan(score, std::string(kTwoSentences) + "shape: {keep: phrase}\n");
  const TimeMap time = perform(score, plan).performance.time;
  for (const Block& phrase : plan.phrases) {
    const double begin = phrase.span.begin.value;
    const double end = phrase.span.end.value;
    const double whole = integrated(score, plan, begin, end);
    const double written = (score.tempo.seconds_at({end}) - score.tempo.seconds_at({begin})).value;
    for (double t = begin; t < end; t += 1.0) {
      EXPECT_NEAR(time.seconds_at({t}).value,
                  score.tempo.seconds_at({begin}).value +
                      integrated(score, plan, begin, t) * written / whole,
                  2e-4)
          << t;
    }
  }
}

// What the arcs take from the level at t, with the depths of the table.
double arc_loss_at(const BoundPlan& plan, double t) {
  const std::pair<const std::vector<Block>*, double> levels[] = {
      {&plan.motifs, 1.5}, {&plan.phrases, 3.5}, {&plan.sentences, 2.5}};
  double loss = 0.0;
  for (const auto& [blocks, depth] : levels) {
    for (const Block& block : *blocks) {
      if (!block.span.holds({t})) continue;
      const double g = block.goal.value;
      const double foot = t < g ? block.span.begin.value : block.span.end.value;
      loss += depth * (t - g) * (t - g) / ((foot - g) * (foot - g));
    }
  }
  return loss;
}

TEST(Time, BroadensByWhatADiminuendoWithholds) {
  const Score score = eleven_bars();
  // From f to p over the beats 2 to 34, 13.5 dB less 0.
  const BoundPlan plan =
      bound_plan(score, std::string("dynamics:\n  - {at: 1:1, mark: f}\n"
                                    "  - {from: 1:3, to: 9:3, hairpin: dim, mark: p}\n") +
                            kTwoSentences + "shape: {keep: off}\n");
  const TimeMap time = perform(score, plan).performance.time;
  constexpr int kSteps = 1000;  // for each quarter note
  double seconds = 0.0;
  double lowest = 1e9;
  double most = 0.0;
  for (int i = 0; i < 44 * kSteps; ++i) {
    const double t = (i + 0.5) / kSteps;
    double withheld = 0.0;
    if (t >= 2.0 && t <= 34.0) {
      const double level = -5.982 - 13.5 * (t - 2.0) / 32.0 - arc_loss_at(plan, t);
      lowest = std::min(lowest, level);
      withheld = level - lowest;
      most = std::max(most, withheld);
    }
    const double pace = static_cast<double>(score.tempo.microseconds_per_quarter_at({t})) / 1e6;
    seconds += (factor(plan, t) + 0.04 * withheld) * pace / kSteps;  // 4 % for each decibel
    // The model follows the minimum over a grid of quarter beats and the onsets.
    if ((i + 1) % (4 * kSteps) == 0) {
      EXPECT_NEAR(time.seconds_at({t}).value, seconds, 5e-3) << t;
    }
  }
  EXPECT_GT(most, 3.0);
}

// Ten bars, the fourth of them in no sentence, under one long diminuendo and with a piece's arc.
constexpr const char* kWithAGap =
    "dynamics:\n  - {at: 1:1, mark: ff}\n  - {from: 1:1, to: 10:4, hairpin: dim, mark: pp}\n"
    "motif: {length: 1 bar, from: 1:1}\nmain: 2\n"
    "sentences:\n  - {phrases: [u / u], main: 1}\n  - {phrases: [u u /], main: 1, from: 5:1}\n";

TEST(Time, MeetsTheMetronomeAroundAStretchInNoSentence) {
  const Score score = test::score_of(test::repeated("C5 D5 E5 F5", 10));
  for (const char* keep : {"sentence", "phrase"}) {
    SCOPED_TRACE(keep);
    const BoundPlan plan =
        bound_plan(score, std::string(kWithAGap) + "shape: {keep: " + keep +
                              ", piece: {slowing: 40 %, linger: 60 %, width: 16 beat}}\n");
    Layers layers;
    layers.amount = 2.0;
    const TimeMap time = perform(score, plan, layers).performance.time;
    for (const double at : {0.0, 12.0, 16.0, 28.0}) {
      EXPECT_NEAR(time.seconds_at({at}).value, at * 0.5, 1e-9) << at;
    }
    for (std::size_t i = 1; i < time.knots().size(); ++i) {
      EXPECT_GT(time.knots()[i].second, time.knots()[i - 1].second);
      EXPECT_GT(time.knots()[i].beat, time.knots()[i - 1].beat);
    }
  }
}

TEST(Time, LastsAsWrittenAfterTheLastSentence) {
  // Bars 3 and 4 are in no sentence; the diminuendo withholds there what the sentence's end was
  // softer by.
  const Score score = test::score_of(test::repeated("C5 D5 E5 F5", 4));
  const BoundPlan plan =
      bound_plan(score,
                 "dynamics:\n  - {at: 1:1, mark: f}\n  - {from: 1:1, to: 4:4, hairpin: dim}\n"
                 "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [/ u], main: 1}]\n");
  const TimeMap time = perform(score, plan).performance.time;
  EXPECT_NEAR(time.seconds_at({8.0}).value, 4.0, 1e-9);
  EXPECT_NEAR(time.seconds_at({16.0}).value, 8.0, 1e-9);
}

TEST(Time, LingersWithinTheSentenceOnly) {
  // Goals at beats 7 and 11; the sentences meet at beat 8.
  const Score score = test::score_of(test::repeated("C5 D5 E5 F5", 4));
  const auto beat = [&](const std::string& first, const std::string& second, double at) {
    const auto shape = [](const std::string& linger) {
      return ", shape: {sentence: {width: 4 beat, linger: " + linger + "}}}\n";
    };
    const BoundPlan plan = bound_plan(
        score, "motif: {length: 1 bar, from: 1:1}\nsentences:\n  - {phrases: [u /], main: 1" +
                   shape(first) + "  - {phrases: [/ u], main: 1" + shape(second) +
                   "shape: {keep: off}\n");
    const TimeMap time = perform(score, plan).performance.time;
    return (time.seconds_at({at + 1.0}) - time.seconds_at({at})).value;
  };
  EXPECT_GT(beat("50 %", "0 %", 7.0), beat("0 %", "0 %", 7.0) + 0.1);
  EXPECT_NEAR(beat("50 %", "0 %", 8.0), beat("0 %", "0 %", 8.0), 1e-9);
  EXPECT_GT(beat("0 %", "50 %", 10.0), beat("0 %", "0 %", 10.0) + 0.1);
  EXPECT_NEAR(beat("0 %", "50 %", 7.0), beat("0 %", "0 %", 7.0), 1e-9);
}

TEST(Time, IsSlowerAtTheEdgesAndLingersAtTheGoal) {
  test::ScoreText text;
  text.parts = {test::repeated("C5 D5 E5 F5", 3)};
  const Score score = test::score_of(text);
  const BoundPlan plan =
      bound_plan(score,
                 "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u / u], main: 1}]\n"
                 "shape: {keep: off, motif: {linger: 0 %, slowing: 0 %}}\n");
  const TimeMap time = perform(score, plan).performance.time;
  const auto beat = [&](double at) {
    return (time.seconds_at({at + 1.0}) - time.seconds_at({at})).value;
  };
  EXPECT_GT(beat(0.0), beat(3.0));   // opening
  EXPECT_GT(beat(11.0), beat(9.0));  // closing
  EXPECT_GT(beat(7.0), beat(4.0));   // at the goal, beat 4 of bar 2
}

TEST(Time, IsTheScoresOwnAtAmountNought) {
  const Score score = eleven_bars();
  for (const char* keep : {"off", "bar", "phrase", "sentence"}) {
    const BoundPlan plan =
        bound_plan(score, std::string(kTwoSentences) + "shape: {keep: " + keep + "}\n");
    Layers flat;
    flat.amount = 0.0;
    const TimeMap time = perform(score, plan, flat).performance.time;
    for (double t = 0.0; t < 44.0; t += 0.37) {
      EXPECT_NEAR(time.seconds_at({t}).value, score.tempo.seconds_at({t}).value, 1e-9);
    }
    EXPECT_LE(time.knots().size(), 5u);  // the tempo's own changes and the end: a clean tempo track
  }
}

TEST(Time, AddsTheClosingRitardandoOnTop) {
  const Score score = test::score_of(test::repeated("C5 D5 E5 F5", 4));
  const std::string plan =
      "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u /, u /], main: 2}]\n";
  Layers layers;
  layers.heard = {false, false, false, true};
  const BoundPlan bound =
      bound_plan(score, plan + "shape: {closing: {length: 2 bars, tempo: 50 %}}\n");
  const TimeMap time = perform(score, bound, layers).performance.time;
  // Source: Friberg & Sundberg 1999; to half tempo with q = 3, the two bars before the last onset
  // take 1.28571 times as long; the last note goes on in the last tempo.
  EXPECT_NEAR(time.seconds_at({7.0}).value, 3.5, 1e-9);
  EXPECT_NEAR(time.seconds_at({15.0}).value, 3.5 + 4.0 * 1.28571, 1e-4);
  EXPECT_NEAR(time.seconds_at({16.0}).value, 3.5 + 4.0 * 1.28571 + 1.0, 1e-4);
  const Closing closing{.last_tempo = 0.5, .curve = 3.0};
  EXPECT_NEAR(time.seconds_at({11.0}).value, 3.5 + 4.0 * closing_time(closing, 0.5), 1e-9);
  // It belongs to the piece: without that layer it is not heard.
  layers.heard = {true, true, true, false};
  const Layers all_but_closing;
  const TimeMap without = perform(score, bound, layers).performance.time;
  const TimeMap never = perform(score, bound_plan(score, plan), all_but_closing).performance.time;
  EXPECT_EQ(without.seconds_at({16.0}), never.seconds_at({16.0}));
}

TEST(Time, AddsAFermataForGoodAndKeepsTheNextSentenceInStep) {
  const Score score = eleven_bars();
  const BoundPlan held =
      bound_plan(score, std::string("marks: [{at: 2:1, mark: fermata}]\n") + kTwoSentences);
  const BoundPlan plan = bound_plan(score, kTwoSentences);
  const TimeMap with = perform(score, held).performance.time;
  const TimeMap without = perform(score, plan).performance.time;
  const double note = (without.seconds_at({5.0}) - without.seconds_at({4.0})).value;
  EXPECT_NEAR((with.seconds_at({5.0}) - with.seconds_at({4.0})).value, 1.75 * note, 1e-9);
  for (const double beat : {5.0, 19.0, 20.0, 30.5, 44.0}) {
    EXPECT_NEAR((with.seconds_at({beat}) - without.seconds_at({beat})).value, 0.75 * note, 1e-9);
  }
  Layers untouched;
  untouched.touch = false;
  EXPECT_EQ(perform(score, held, untouched).performance.time.seconds_at({44.0}),
            perform(score, plan, untouched).performance.time.seconds_at({44.0}));
}

TEST(Time, ScalesSlowingAndLingerWithTheAmount) {
  const Score score = eleven_bars();
  const BoundPlan plan = bound_plan(score, std::string(kTwoSentences) + "shape: {keep: off}\n");
  const auto length = [&](double amount) {
    Layers layers;
    layers.amount = amount;
    return perform(score, plan, layers).performance.time.seconds_at({44.0}).value;
  };
  EXPECT_NEAR(length(2.0) - length(0.0), 2.0 * (length(1.0) - length(0.0)), 1e-9);
  EXPECT_GT(length(1.0), 1.01 * length(0.0));
}

TEST(Time, RisesWhereAHundredDaysLeaveNoRoomForAMicrosecond) {
  // A file at fault, but a legal one: the slowest tempo there is, then the fastest for one tick,
  // which is shorter than a double can tell at that distance.
  test::ScoreText text;
  text.parts = {"C5 @299999 C5/4"};
  text.division = 32'767;
  text.tempo = {{{0.0}, 16'777'215}, {{300'000.0}, 1}, {{300'000.0 + 1.0 / 32'767}, 2}};
  const Score score = test::score_of(text);
  const BoundPlan plan = bound_plan(
      score, "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [/], main: 1}]\n");
  const TimeMap time = perform(score, plan).performance.time;
  for (std::size_t i = 1; i < time.knots().size(); ++i) {
    EXPECT_GT(time.knots()[i].second, time.knots()[i - 1].second);
    EXPECT_GT(time.knots()[i].beat, time.knots()[i - 1].beat);
  }
  EXPECT_NEAR(time.seconds_at({300'003.0}).value, 300'000 * 16.777215, 1e-3);
}

TEST(TimeGrid, HoldsATempoForNoLongerThanAQuarterOfABeatInsideBlocks) {
  const Score score = eleven_bars();
  const BoundPlan plan = bound_plan(score, kTwoSentences);
  const std::vector<Beats> grid = time_grid(score, plan);
  for (std::size_t i = 1; i < grid.size(); ++i) {
    EXPECT_GT(grid[i], grid[i - 1]);
    EXPECT_LE((grid[i] - grid[i - 1]).value, 0.25 + 1e-9);
  }
  for (const Block& motif : plan.motifs) {
    EXPECT_TRUE(std::ranges::binary_search(grid, motif.span.begin));
    EXPECT_TRUE(std::ranges::binary_search(grid, motif.goal));
  }
}

}  // namespace
}  // namespace arsis
