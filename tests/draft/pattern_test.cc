// The pattern of mains, against every combination of mains in turn.
#include "draft/pattern.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdint>

#include "draft/weights.h"
#include "property.h"

namespace arsis {
namespace {

using Blocks = std::vector<PatternBlock>;
using Mains = std::vector<std::size_t>;

TEST(Pattern, WithoutRivalsIsEachBlocksBest) {
  EXPECT_EQ(best_pattern(Blocks{{{1.0, 0.0}, 0.0}, {{0.0, 1.0}, 1.0}}), (Mains{0, 1}));
  EXPECT_EQ(best_pattern(Blocks{{{0.5}, 0.0}, {{0.0, 0.2, 0.1}, 1.0}}), (Mains{0, 1}));
  EXPECT_TRUE(best_pattern(Blocks{}).empty());
}

TEST(Pattern, DecidesWhereTheEvidenceIsSplit) {
  const double split = kPattern + kPatternAlike - 0.01;
  EXPECT_EQ(best_pattern(Blocks{{{1.0, 0.0}, 0.0}, {{0.0, split}, 1.0}}), (Mains{0, 0}));
  EXPECT_EQ(best_pattern(Blocks{{{0.0, split}, 0.0}, {{1.0, 0.0}, 1.0}}), (Mains{0, 0}));
  EXPECT_EQ(best_pattern(Blocks{{{1.0, 0.0}, 0.0}, {{0.0, split + 0.02}, 1.0}}), (Mains{0, 1}));
}

TEST(Pattern, CountsMoreWhereNeighboursAreAlike) {
  const double split = kPattern + kPatternAlike / 2.0;
  EXPECT_EQ(best_pattern(Blocks{{{1.0, 0.0}, 0.0}, {{0.0, split}, 0.4}}), (Mains{0, 1}));
  EXPECT_EQ(best_pattern(Blocks{{{1.0, 0.0}, 0.0}, {{0.0, split}, 0.6}}), (Mains{0, 0}));
}

TEST(Pattern, HoldsBetweenBlocksOfOneSizeOnly) {
  EXPECT_EQ(best_pattern(Blocks{{{1.0, 0.0, 0.0}, 0.0}, {{0.0, 0.01}, 1.0}}), (Mains{0, 1}));
}

TEST(Pattern, ReachesFromBothSides) {
  const double split = 2.0 * (kPattern + kPatternAlike) - 0.01;
  EXPECT_EQ(best_pattern(Blocks{{{1.0, 0.0}, 0.0}, {{0.0, split}, 1.0}, {{1.0, 0.0}, 1.0}}),
            (Mains{0, 0, 0}));
}

TEST(Pattern, TakesTheLaterOfEqualMembers) {
  EXPECT_EQ(best_pattern(Blocks{{{0.0, 0.0}, 0.0}}), Mains{1});
  EXPECT_EQ(best_pattern(Blocks{{{0.1 + 0.2, 0.3}, 0.0}}), Mains{1}) << "rounding decides nothing";
  EXPECT_EQ(best_pattern(Blocks{{{0.3, 0.1 + 0.2}, 0.0}}), Mains{1});
  EXPECT_EQ(best_member(std::vector<double>{0.3, 0.1 + 0.2, 0.0}), 1u);
}

double sum_of(const Blocks& blocks, const Mains& mains) {
  double sum = 0.0;
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    sum += blocks[i].totals[mains[i]];
    const std::size_t size = blocks[i].totals.size();
    if (i == 0 || size < 2 || blocks[i - 1].totals.size() != size) continue;
    if (mains[i] == mains[i - 1]) sum += kPattern + kPatternAlike * blocks[i].likeness_to_last;
  }
  return sum;
}

double best_of_all(const Blocks& blocks) {
  double best = -1e9;
  Mains mains(blocks.size(), 0);
  while (true) {
    best = std::max(best, sum_of(blocks, mains));
    std::size_t i = 0;
    while (i < blocks.size() && ++mains[i] == blocks[i].totals.size()) mains[i++] = 0;
    if (i == blocks.size()) return best;
  }
}

Blocks random_blocks() {
  Blocks blocks(*rc::gen::inRange<std::size_t>(1, 8));
  for (PatternBlock& block : blocks) {
    block.totals.resize(*rc::gen::inRange<std::size_t>(1, 4));
    for (double& total : block.totals) total = *rc::gen::inRange(-30, 30) / 100.0;
    block.likeness_to_last = *rc::gen::inRange(0, 5) / 4.0;
  }
  return blocks;
}

TEST(Pattern, IsTheBestOfAllCombinations) {
  EXPECT_TRUE(test::holds(3'000, [] {
    const Blocks blocks = random_blocks();
    RC_ASSERT(std::abs(sum_of(blocks, best_pattern(blocks)) - best_of_all(blocks)) < 1e-7);
  }));
}

TEST(Pattern, OverrulesNoChoiceThatIsNotInDoubt) {
  EXPECT_TRUE(test::holds(3'000, [] {
    const Blocks blocks = random_blocks();
    const Mains mains = best_pattern(blocks);
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      const double lead =
          blocks[i].totals[best_member(blocks[i].totals)] - blocks[i].totals[mains[i]];
      RC_ASSERT(lead < kDoubt);
    }
  }));
}

}  // namespace
}  // namespace arsis
