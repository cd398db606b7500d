// The arc and the linger window against their closed forms and published values.
#include "shape/arc.h"

#include <gtest/gtest.h>

#include <cmath>

namespace arsis {
namespace {

constexpr Span kUnit{{0.0}, {1.0}};

TEST(Arc, HasTheValuesOfTheTwoPieceParabola) {
  // Source: parabolas of Todd 1992 and Repp 1992; values computed from the formula.
  struct Row {
    double goal, quarter, half, three_quarters;
  };
  for (const Row& row : {Row{0.5, .75, 1.0, .75}, Row{0.6, .65972, .97222, .85938},
                         Row{0.75, .55556, .88889, 1.0}}) {
    SCOPED_TRACE(row.goal);
    EXPECT_NEAR(arc({0.25}, kUnit, {row.goal}), row.quarter, 1e-5);
    EXPECT_NEAR(arc({0.5}, kUnit, {row.goal}), row.half, 1e-5);
    EXPECT_NEAR(arc({0.75}, kUnit, {row.goal}), row.three_quarters, 1e-5);
  }
}

TEST(Arc, AveragesTwoThirdsWhereverItsGoalLies) {
  for (const double goal : {0.0, 0.1, 0.5, 0.9, 1.0}) {
    double sum = 0.0;
    constexpr int kSteps = 100'000;
    for (int i = 0; i < kSteps; ++i) sum += arc({(i + 0.5) / kSteps}, kUnit, {goal});
    EXPECT_NEAR(sum / kSteps, 2.0 / 3.0, 1e-4) << goal;
  }
}

TEST(Arc, IsOneAtTheGoalOnlyAndNoughtAtItsFeetAndOutside) {
  const Span span{{2.0}, {6.0}};
  EXPECT_EQ(arc({5.0}, span, {5.0}), 1.0);
  EXPECT_EQ(arc({2.0}, span, {5.0}), 0.0);
  EXPECT_EQ(arc({6.0}, span, {5.0}), 0.0);
  EXPECT_EQ(arc({1.9}, span, {5.0}), 0.0);
  EXPECT_EQ(arc({6.1}, span, {5.0}), 0.0);
  EXPECT_LT(arc({4.99}, span, {5.0}), 1.0);
}

TEST(Arc, OnlyFallsFromAGoalAtItsStart) {
  EXPECT_EQ(arc({0.0}, kUnit, {0.0}), 1.0);
  EXPECT_NEAR(arc({0.5}, kUnit, {0.0}), 0.75, 1e-12);
  EXPECT_EQ(arc({1.0}, kUnit, {0.0}), 0.0);
}

TEST(Linger, IntegratesItsWindow) {
  for (const double width : {0.5, 1.0, 3.0}) {
    double sum = 0.0;
    constexpr double kStep = 1e-4;
    for (double x = 0.0; x < 1.2 * width; x += kStep) {
      EXPECT_NEAR(linger_integral({x}, {width}).value, sum, 1e-3);
      sum += kStep * linger_window({x + kStep / 2}, {width});
    }
    EXPECT_NEAR(linger_integral({10.0}, {width}).value, width / 2.0, 1e-12);
    EXPECT_NEAR(linger_integral({-10.0}, {width}).value, -width / 2.0, 1e-12);
  }
  EXPECT_EQ(linger_window({0.0}, {1.0}), 1.0);
  EXPECT_NEAR(linger_window({0.5}, {1.0}), 0.5, 1e-12);
  EXPECT_NEAR(linger_window({1.0}, {1.0}), 0.0, 1e-12);
}

}  // namespace
}  // namespace arsis
