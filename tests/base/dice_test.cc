// Chance from a seed: the same everywhere, and fair.
#include "base/dice.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <set>

namespace arsis {
namespace {

// Source: the C++ standard, [rand.predef]: the 10,000th number of std::mt19937_64 from its default
// seed.
TEST(Dice, HasTheGeneratorOfTheStandard) {
  Dice dice(5489);
  std::size_t last = 0;
  for (int i = 0; i < 10'000; ++i) last = dice.below(std::numeric_limits<std::size_t>::max());
  EXPECT_EQ(last, 9'981'545'732'273'789'042u);
}

TEST(Dice, DrawsEachNumberAsOften) {
  constexpr int kDraws = 60'000;
  for (const std::size_t count : {1u, 2u, 3u, 6u, 7u}) {
    Dice dice(count);
    std::map<std::size_t, int> drawn;
    for (int i = 0; i < kDraws; ++i) ++drawn[dice.below(count)];
    EXPECT_EQ(drawn.size(), count);
    EXPECT_LT(drawn.rbegin()->first, count);
    for (const auto& [number, times] : drawn) {
      // Four and a half standard deviations of a binomial.
      const double expected = static_cast<double>(kDraws) / static_cast<double>(count);
      EXPECT_NEAR(times, expected, 4.5 * std::sqrt(expected)) << number << " of " << count;
    }
  }
}

// Of three quarters of all numbers a plain remainder would draw one third twice as often.
TEST(Dice, FavoursNothingOfAVeryLargeRange) {
  const std::size_t count = (std::numeric_limits<std::size_t>::max() / 4) * 3;
  Dice dice(1);
  int low = 0;
  for (int i = 0; i < 30'000; ++i) low += dice.below(count) < count / 3 ? 1 : 0;
  EXPECT_NEAR(low, 10'000, 400);
}

TEST(Dice, ShufflesIntoEachOrderAsOften) {
  Dice dice(3);
  std::map<std::vector<int>, int> orders;
  for (int i = 0; i < 24'000; ++i) {
    std::vector<int> cards = {1, 2, 3, 4};
    dice.shuffle(cards);
    ++orders[cards];
  }
  EXPECT_EQ(orders.size(), 24u);
  for (const auto& [order, times] : orders) EXPECT_NEAR(times, 1000, 150);
}

TEST(Dice, RepeatsItselfFromTheSameSeedOnly) {
  const auto drawn = [](std::uint64_t seed) {
    Dice dice(seed);
    std::vector<std::size_t> numbers;
    for (int i = 0; i < 8; ++i) numbers.push_back(dice.below(1000));
    return numbers;
  };
  std::set<std::vector<std::size_t>> all;
  for (std::uint64_t seed = 0; seed < 50; ++seed) {
    EXPECT_EQ(drawn(seed), drawn(seed));
    all.insert(drawn(seed));
  }
  EXPECT_EQ(all.size(), 50u);
}

}  // namespace
}  // namespace arsis
