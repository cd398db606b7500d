// The time of a performance against an integration of the model's formula written here anew.
#include "shape/time.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

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
  Layers nothing_else;
  nothing_else.heard.fill(false);
  const TimeMap time =
      perform(score, bound_plan(score, plan + "shape: {closing: {length: 2 bars, tempo: 50 %}}\n"),
              nothing_else)
          .performance.time;
  // Source: Friberg & Sundberg 1999; half tempo, q = 3: the last two bars take 1.28571 times as
  // long.
  EXPECT_NEAR(time.seconds_at({8.0}).value, 4.0, 1e-9);
  EXPECT_NEAR(time.seconds_at({16.0}).value, 4.0 + 4.0 * 1.28571, 1e-4);
  const Closing closing{.last_tempo = 0.5, .curve = 3.0};
  EXPECT_NEAR(time.seconds_at({12.0}).value, 4.0 + 4.0 * closing_time(closing, 0.5), 1e-9);
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
