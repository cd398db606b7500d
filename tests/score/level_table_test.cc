// Tables of levels: what they say between what was measured, and which velocity they give a level.
#include "score/level_table.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <utility>
#include <vector>

#include "property.h"

namespace arsis {
namespace {

constexpr double kExact = 1e-9;
constexpr double kRounding = 1e-3;  // dB

std::vector<LevelPoint> points_of(const std::vector<std::pair<int, double>>& rows) {
  std::vector<LevelPoint> points;
  for (const auto& [velocity, level] : rows) {
    points.push_back({Velocity::clamped(velocity), {level}});
  }
  return points;
}

LevelTable table_of(const std::vector<std::pair<int, double>>& rows, int key = 60) {
  return LevelTable::of({{key, points_of(rows)}});
}

double level(const LevelTable& table, int velocity, int key = 60) {
  return table.level_of(Velocity::clamped(velocity), key).value;
}

int velocity(const LevelTable& table, double wanted, int key = 60) {
  return table.velocity_for({wanted}, key).value();
}

// Points of the law alone give the law everywhere.
TEST(LevelTable, FollowsTheLawBetweenAndBelowPointsOfTheLaw) {
  // Source: SoundFont 2.04, 8.4.1: L = 40 log10(v / 127).
  const LevelTable table = table_of({{8, -48.0292}, {64, -11.9053}, {127, 0.0}});
  for (int v = 1; v <= 127; ++v) {
    EXPECT_NEAR(level(table, v), level_of(Velocity::clamped(v)).value, 1e-3) << v;
  }
}

TEST(LevelTable, GivesTheVelocitiesOfTheDynamicsByTheLaw) {
  const LevelTable law = table_of({{1, -84.1522}, {127, 0.0}});
  EXPECT_EQ(velocity(law, -5.982), 90);  // f, as the constants' table rounds it
  EXPECT_EQ(velocity(law, 0.0), 127);
  EXPECT_EQ(velocity(law, 3.0), 127);
  EXPECT_EQ(velocity(law, -84.2), 1);
  EXPECT_EQ(velocity(law, -200.0), 1);
}

TEST(LevelTable, IsRelativeToItsLoudestVelocity) {
  const LevelTable table = table_of({{1, -70.0}, {64, -23.0}, {127, -10.0}});
  EXPECT_NEAR(level(table, 127), 0.0, kExact);
  EXPECT_NEAR(level(table, 64), -13.0, kExact);
  EXPECT_EQ(velocity(table, -13.0), 64);
}

TEST(LevelTable, PoolsWhatFallsToItsMean) {
  struct Row {
    std::vector<std::pair<int, double>> measured;
    std::vector<double> levels;
  };
  const std::vector<Row> rows = {
      {{{1, -30}, {50, -20}, {127, 0}}, {-30, -20, 0}},
      {{{1, -30}, {40, -10}, {80, -14}, {127, 0}}, {-30, -12, -12, 0}},
      // The pool of two falls against a third, and takes it in.
      {{{1, -30}, {40, -6}, {60, -8}, {80, -16}, {127, 0}}, {-30, -10, -10, -10, 0}},
      // At the top: the reference is the pooled level.
      {{{1, -30}, {64, 2}, {127, 0}}, {-31, 0, 0}},
      {{{1, 4}, {64, 2}, {127, 0}}, {0, 0, 0}},
  };
  for (const auto& [measured, levels] : rows) {
    const LevelTable table = table_of(measured);
    for (std::size_t i = 0; i < measured.size(); ++i) {
      EXPECT_NEAR(level(table, measured[i].first), levels[i], kExact) << i;
    }
  }
}

TEST(LevelTable, RunsStraightBetweenKeysAndIsLevelOutsideThem) {
  const LevelTable table = LevelTable::of(
      {{72, points_of({{64, -20}, {127, 0}})}, {60, points_of({{64, -10}, {127, 0}})}});
  EXPECT_NEAR(level(table, 64, 0), -10, kExact);
  EXPECT_NEAR(level(table, 64, 60), -10, kExact);
  EXPECT_NEAR(level(table, 64, 63), -12.5, kExact);
  EXPECT_NEAR(level(table, 64, 72), -20, kExact);
  EXPECT_NEAR(level(table, 64, 127), -20, kExact);
}

TEST(LevelTable, LeavesOutWhatSaysTooLittle) {
  constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
  constexpr double kEndless = std::numeric_limits<double>::infinity();
  EXPECT_TRUE(LevelTable().empty());
  EXPECT_TRUE(LevelTable::of({}).empty());
  EXPECT_TRUE(table_of({}).empty());
  EXPECT_TRUE(table_of({{127, 0}}).empty());
  EXPECT_TRUE(table_of({{1, -40}, {126, 0}}).empty());
  EXPECT_TRUE(table_of({{1, -40}, {127, kNone}}).empty());
  EXPECT_TRUE(table_of({{1, -kEndless}, {127, 0}}).empty());
  EXPECT_TRUE(table_of({{1, -40}, {127, 0}}, 128).empty());
  EXPECT_FALSE(table_of({{1, -40}, {64, kNone}, {127, 0}}).empty());
  const LevelTable twice = table_of({{64, -40}, {127, 0}, {64, -20}});
  EXPECT_NEAR(level(twice, 64), -20, kExact);
}

TEST(LevelTable, TakesTheHighestOfVelocitiesThatSoundAlike) {
  const LevelTable organ = table_of({{1, 0}, {127, 0}});
  EXPECT_EQ(velocity(organ, 0.0), 127);
  EXPECT_EQ(velocity(organ, -10.0), 1);  // softer than it can: as soft as it can
}

// Any points at all, on one or two keys.
LevelTable any_table() {
  std::vector<KeyLevels> keys(static_cast<std::size_t>(*rc::gen::inRange(1, 3)));
  for (KeyLevels& key : keys) {
    key.key = *rc::gen::inRange(0, 128);
    const int count = *rc::gen::inRange(1, 12);
    for (int i = 0; i < count; ++i) {
      key.points.push_back(
          {Velocity::clamped(*rc::gen::inRange(1, 127)), {*rc::gen::inRange(-900, 100) / 10.0}});
    }
    key.points.push_back({Velocity::clamped(127), {*rc::gen::inRange(-900, 100) / 10.0}});
  }
  return LevelTable::of(keys);
}

TEST(LevelTable, NeverFallsAndNeverPassesNought) {
  EXPECT_TRUE(test::holds(2000, [] {
    const LevelTable table = any_table();
    RC_PRE(!table.empty());
    const int key = *rc::gen::inRange(0, 128);
    for (int v = 2; v <= 127; ++v) {
      RC_ASSERT(level(table, v, key) >= level(table, v - 1, key) - kExact);
    }
    RC_ASSERT(std::abs(level(table, 127, key)) < kExact);
  }));
}

TEST(LevelTable, NeverGivesALevelAboveTheWantedAndTheNextVelocityWould) {
  EXPECT_TRUE(test::holds(5000, [] {
    const LevelTable table = any_table();
    RC_PRE(!table.empty());
    const int key = *rc::gen::inRange(0, 128);
    const double wanted = *rc::gen::inRange(-100'000, 1'000) / 1000.0;
    const int found = velocity(table, wanted, key);
    if (found > 1) RC_ASSERT(level(table, found, key) <= wanted + kRounding + kExact);
    if (found < 127) RC_ASSERT(level(table, found + 1, key) > wanted);
  }));
}

TEST(LevelTable, GivesAVelocityBackForItsOwnLevel) {
  EXPECT_TRUE(test::holds(2000, [] {
    const LevelTable table = any_table();
    RC_PRE(!table.empty());
    const int key = *rc::gen::inRange(0, 128);
    const int v = *rc::gen::inRange(1, 128);
    const int back = velocity(table, level(table, v, key), key);
    RC_ASSERT(back >= v);
    RC_ASSERT(level(table, back, key) <= level(table, v, key) + kRounding + kExact);
  }));
}

TEST(LevelTable, IsTheSameTableMadeOfItsOwnKeys) {
  EXPECT_TRUE(test::holds(2000, [] {
    const LevelTable table = any_table();
    RC_ASSERT(LevelTable::of(table.keys()) == table);
  }));
}

}  // namespace
}  // namespace arsis
