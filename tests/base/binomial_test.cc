// The one-sided binomial p-value against tables.
#include "base/binomial.h"

#include <gtest/gtest.h>

namespace arsis {
namespace {

struct Tosses {
  int hits;
  int trials;
  double chance;
};

// Source: exact sums of binomial coefficients over 2^trials, rounded to four places; the first two
// by hand: (8 + 1) / 2^8 and (10 + 1) / 2^10. They are the marks that tables of forced-choice tests
// give for the five per cent level.
constexpr Tosses kTable[] = {{7, 8, 0.0352},   {9, 10, 0.0107},  {8, 10, 0.0547},
                             {10, 12, 0.0193}, {12, 16, 0.0384}, {15, 20, 0.0207},
                             {17, 24, 0.0320}, {20, 30, 0.0494}, {26, 40, 0.0403}};

TEST(AtLeastByChance, FollowsTheTablesOfForcedChoice) {
  for (const auto& [hits, trials, chance] : kTable) {
    EXPECT_NEAR(at_least_by_chance(hits, trials), chance, 0.00005) << hits << " of " << trials;
  }
}

TEST(AtLeastByChance, IsCertainOfNoneAndAPowerOfTwoOfAll) {
  EXPECT_EQ(at_least_by_chance(0, 0), 1.0);
  EXPECT_EQ(at_least_by_chance(0, 1), 1.0);
  EXPECT_EQ(at_least_by_chance(1, 1), 0.5);
  EXPECT_EQ(at_least_by_chance(5, 5), 1.0 / 32.0);
  EXPECT_GT(at_least_by_chance(kMostTrials, kMostTrials), 0.0);
  EXPECT_NEAR(at_least_by_chance(0, kMostTrials), 1.0, 1e-12);
}

// P(X >= h) + P(X >= n - h + 1) = 1, because a right and a wrong guess are alike.
TEST(AtLeastByChance, LeavesTheRestToTheOtherSide) {
  for (int trials = 1; trials <= 100; ++trials) {
    for (int hits = 1; hits <= trials; ++hits) {
      EXPECT_NEAR(at_least_by_chance(hits, trials) + at_least_by_chance(trials - hits + 1, trials),
                  1.0, 1e-12)
          << hits << " of " << trials;
      EXPECT_LE(at_least_by_chance(hits, trials), at_least_by_chance(hits - 1, trials));
    }
  }
}

}  // namespace
}  // namespace arsis
