// The closing ritardando against the published formula.
#include "shape/closing.h"

#include <gtest/gtest.h>

namespace arsis {
namespace {

// Source: Friberg & Sundberg 1999, JASA 105(3), v(x) = (1 + (w^q - 1) x)^(1/q) (formula from
// memory); values and integrals computed from it.
struct Row {
  double w, q, v25, v50, v75, v100, time;
};
constexpr Row kRows[] = {{.5, 3, .92101, .82548, .70051, .5, 1.28571},
                         {.3, 3, .91128, .80078, .64653, .3, 1.40288},
                         {.5, 2, .90139, .79057, .66144, .5, 1.33333},
                         {.4, 1, .85, .70, .55, .4, 1.52715}};

TEST(Closing, HasThePublishedTemposAndTimes) {
  for (const Row& row : kRows) {
    SCOPED_TRACE(row.w);
    const Closing closing{.last_tempo = row.w, .curve = row.q};
    EXPECT_NEAR(closing_tempo(closing, 0.0), 1.0, 1e-12);
    EXPECT_NEAR(closing_tempo(closing, 0.25), row.v25, 1e-5);
    EXPECT_NEAR(closing_tempo(closing, 0.5), row.v50, 1e-5);
    EXPECT_NEAR(closing_tempo(closing, 0.75), row.v75, 1e-5);
    EXPECT_NEAR(closing_tempo(closing, 1.0), row.v100, 1e-5);
    EXPECT_NEAR(closing_time(closing, 1.0), row.time, 1e-5);
  }
}

TEST(Closing, TakesTheIntegralOfTheInverseTempo) {
  for (const Row& row : kRows) {
    const Closing closing{.last_tempo = row.w, .curve = row.q};
    double time = 0.0;
    constexpr int kSteps = 200'000;
    for (int i = 0; i < kSteps; ++i) {
      time += 1.0 / closing_tempo(closing, (i + 0.5) / kSteps) / kSteps;
      if ((i + 1) % 40'000 == 0) {
        EXPECT_NEAR(closing_time(closing, (i + 1.0) / kSteps), time, 1e-5);
      }
    }
  }
}

TEST(Closing, ChangesNothingWithoutAFallOfTempo) {
  EXPECT_EQ(closing_time({.last_tempo = 1.0, .curve = 3.0}, 0.7), 0.7);
  EXPECT_EQ(closing_tempo({.last_tempo = 1.0, .curve = 3.0}, 0.7), 1.0);
}

}  // namespace
}  // namespace arsis
