// The written tempo, integrated by hand.
#include "score/tempo_map.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "property.h"

namespace arsis {
namespace {

// Source: Standard MIDI Files 1.0, "Set Tempo": 120 quarter notes a minute where none is given.
TEST(TempoMap, GoesAtAHundredAndTwentyWhereNothingIsSaid) {
  const TempoMap map;
  EXPECT_DOUBLE_EQ(map.seconds_at({7.0}).value, 3.5);
  EXPECT_DOUBLE_EQ(map.beats_at({3.5}).value, 7.0);
  EXPECT_EQ(map.microseconds_per_quarter_at({100.0}), 500'000);
  ASSERT_EQ(map.changes().size(), 1u);
  EXPECT_EQ(map.changes()[0].at.value, 0.0);
}

// By hand: 4 beats at 120 (0.5 s each), 2 at 60 (1 s), 1.5 at 240 (0.25 s).
TEST(TempoMap, AddsUpEveryStretch) {
  const std::vector<TempoChange> changes = {{{4.0}, 1'000'000}, {{6.0}, 250'000}};
  const TempoMap map(changes);
  struct Row {
    double beat;
    double second;
  };
  constexpr Row kRows[] = {{0.0, 0.0}, {1.0, 0.5}, {4.0, 2.0},
                           {5.0, 3.0}, {6.0, 4.0}, {7.5, 4.375}};
  for (const auto& [beat, second] : kRows) {
    EXPECT_DOUBLE_EQ(map.seconds_at({beat}).value, second);
    EXPECT_DOUBLE_EQ(map.beats_at({second}).value, beat);
  }
  EXPECT_EQ(map.microseconds_per_quarter_at({3.999}), 500'000);
  EXPECT_EQ(map.microseconds_per_quarter_at({4.0}), 1'000'000);
}

TEST(TempoMap, TakesTheLastOfSeveralAtOneMoment) {
  const std::vector<TempoChange> changes = {
      {{0.0}, 300'000}, {{0.0}, 600'000}, {{2.0}, 100'000}, {{2.0}, 400'000}};
  const TempoMap map(changes);
  EXPECT_EQ(map.changes().size(), 2u);
  EXPECT_DOUBLE_EQ(map.seconds_at({3.0}).value, 1.6);
}

TEST(TempoMap, PassesOverChangesThatChangeNothing) {
  const std::vector<TempoChange> changes = {{{1.0}, 500'000}, {{2.0}, 500'000}, {{3.0}, 250'000}};
  EXPECT_EQ(TempoMap(changes).changes().size(), 2u);
}

TEST(TempoMap, KeepsTheSlowestAndTheFastestTempoOfMidi) {
  const std::vector<TempoChange> changes = {{{0.0}, 16'777'215}, {{1.0}, 1}};
  const TempoMap map(changes);
  EXPECT_DOUBLE_EQ(map.seconds_at({1.0}).value, 16.777215);
  EXPECT_NEAR(map.seconds_at({1'000'001.0}).value, 17.777215, 1e-9);
  EXPECT_NEAR(map.beats_at({17.777215}).value, 1'000'001.0, 1e-3);
}

// A tempo change on each of 100,000 beats, alternating 0.5 s and 0.25 s: no error adds up.
TEST(TempoMap, DoesNotDriftOverManyChanges) {
  std::vector<TempoChange> changes;
  for (int i = 0; i < 100'000; ++i) {
    changes.push_back({{static_cast<double>(i)}, i % 2 == 0 ? 500'000 : 250'000});
  }
  const TempoMap map(changes);
  EXPECT_NEAR(map.seconds_at({100'000.0}).value, 37'500.0, 1e-7);
  EXPECT_NEAR(map.beats_at({37'500.0}).value, 100'000.0, 1e-6);
}

TEST(TempoMap, IsItsOwnInverse) {
  EXPECT_TRUE(test::holds(3000, [] {
    std::vector<TempoChange> changes;
    double at = 0.0;
    const int count = *rc::gen::inRange(0, 10);
    for (int i = 0; i < count; ++i) {
      changes.push_back({{at}, *rc::gen::inRange(100'000, 3'000'000)});
      at += *rc::gen::inRange(0, 100) / 12.0;
    }
    const TempoMap map(changes);
    const Beats beat{*rc::gen::inRange(0, 100'000) / 960.0};
    RC_ASSERT(std::abs((map.beats_at(map.seconds_at(beat)) - beat).value) < 1e-9);
    RC_ASSERT(map.seconds_at(beat) < map.seconds_at(beat + Beats{1.0 / 960.0}));
  }));
}

}  // namespace
}  // namespace arsis
