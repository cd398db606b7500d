// Velocity and level, against published laws.
#include "base/units.h"

#include <gtest/gtest.h>

#include <cmath>

#include "property.h"

namespace arsis {
namespace {

// Source: SoundFont 2.04, 8.4.1 (default modulator velocity -> initialAttenuation, 960 cB, negative
// unipolar concave) and the DLS 1 and General MIDI guidelines, all reducing to 40 log10(v / 127)
// dB; the values computed from that formula.
TEST(Velocity, FollowsTheSoundFontLaw) {
  struct Row {
    int velocity;
    double level_db;
  };
  constexpr Row kRows[] = {{127, 0.0},    {112, -2.183}, {96, -4.861},  {90, -5.982},
                           {80, -8.029},  {64, -11.905}, {49, -16.544}, {32, -23.946},
                           {16, -35.987}, {1, -84.152}};
  for (const auto& [velocity, level_db] : kRows) {
    SCOPED_TRACE(velocity);
    EXPECT_NEAR(level_of(Velocity::clamped(velocity)).value, level_db, 1e-3);
    EXPECT_EQ(velocity_at({level_db}).value(), velocity);
  }
}

// The same law read the other way: a change of d dB multiplies the velocity by 10^(d / 40).
// Computed from the formula, to four decimals.
TEST(Velocity, GrowsByTheFactorOfTheLevel) {
  struct Row {
    double change_db;
    double factor;
  };
  constexpr Row kRows[] = {{0.5, 1.0292}, {1.0, 1.0593}, {2.0, 1.1220}, {3.0, 1.1885},
                           {4.0, 1.2589}, {6.0, 1.4125}, {10.0, 1.7783}};
  for (const auto& [change_db, factor] : kRows) {
    SCOPED_TRACE(change_db);
    constexpr int kQuiet = 60;
    const Decibels louder = level_of(Velocity::clamped(kQuiet)) + Decibels{change_db};
    EXPECT_EQ(velocity_at(louder).value(), std::lround(kQuiet * factor));
    EXPECT_NEAR(to_ratio({change_db / 2.0}), factor, 1e-4);
  }
}

TEST(Velocity, SurvivesItsOwnLevel) {
  for (int velocity = 1; velocity <= 127; ++velocity) {
    EXPECT_EQ(velocity_at(level_of(Velocity::clamped(velocity))).value(), velocity);
  }
}

TEST(Velocity, StaysBetweenOneAndTheHighest) {
  EXPECT_EQ(Velocity::clamped(-3.0).value(), 1);
  EXPECT_EQ(Velocity::clamped(0.4).value(), 1);
  EXPECT_EQ(Velocity::clamped(64.5).value(), 65);
  EXPECT_EQ(Velocity::clamped(1e9).value(), 127);
  EXPECT_EQ(velocity_at({20.0}).value(), 127);
  EXPECT_EQ(velocity_at({-500.0}).value(), 1);
}

TEST(Velocity, IsNearestToItsLevel) {
  EXPECT_TRUE(test::holds(1000, [] {
    const Decibels level{-*rc::gen::inRange(0, 8000) / 100.0};
    const int velocity = velocity_at(level).value();
    const double exact = 127.0 * std::pow(10.0, level.value / 40.0);
    RC_ASSERT(std::abs(velocity - std::max(exact, 1.0)) <= 0.5 + 1e-9);
  }));
}

// Source: the definition of the decibel of an amplitude ratio (20 log10).
TEST(Decibels, AreTwentyTimesTheLogarithmOfTheAmplitude) {
  EXPECT_NEAR(to_decibels(1.0).value, 0.0, 1e-12);
  EXPECT_NEAR(to_decibels(2.0).value, 6.0206, 1e-4);
  EXPECT_NEAR(to_decibels(0.1).value, -20.0, 1e-12);
  EXPECT_NEAR(to_ratio({-6.0206}), 0.5, 1e-5);
  EXPECT_NEAR(to_ratio(to_decibels(0.37)), 0.37, 1e-12);
}

TEST(Span, HoldsItsBeginningAndNotItsEnd) {
  constexpr Span kSpan{{1.0}, {2.0}};
  EXPECT_TRUE(kSpan.holds({1.0}));
  EXPECT_TRUE(kSpan.holds({1.999}));
  EXPECT_FALSE(kSpan.holds({2.0}));
  EXPECT_FALSE(kSpan.holds({0.999}));
  EXPECT_EQ(kSpan.length().value, 1.0);
}

}  // namespace
}  // namespace arsis
