// The blind test without its sound: what it draws, and what it says of the answers.
#include <gtest/gtest.h>

#include <set>

#include "tool/blind_pairs.h"
#include "tool/blind_score.h"
#include "tool/run_arsis.h"

namespace arsis::test {
namespace {

struct Row {
  BlindScore score;
  const char* words;
};

// Source of the p-values: tests/base/binomial_test.cc.
TEST(BlindScore, SaysInWordsWhetherItIsMoreThanChance) {
  const Row rows[] = {
      {{12, 12, 10, "100%"}, "10 of 12 right: better than chance (p = 0.019), at --amount 100%"},
      {{12, 12, 9, "50%"},
       "9 of 12 right: no better than chance may be (p = 0.073), at --amount 50%"},
      {{10, 10, 8, "100%"},
       "8 of 10 right: no better than chance may be (p = 0.055), at --amount 100%"},
      {{5, 5, 5, "100%"}, "5 of 5 right: better than chance (p = 0.031), at --amount 100%"},
      {{4, 4, 4, "100%"},
       "4 of 4 right: too few pairs to tell it from chance (p = 0.062), at --amount 100%"},
      {{12, 12, 0, "100%"},
       "0 of 12 right: no better than chance may be (p = 1.000), at --amount 100%"},
      {{12, 7, 7, "100%"},
       "left off after 7 of 12: 7 right, at --amount 100%; a test that ends early shows nothing"}};
  for (const Row& row : rows) EXPECT_EQ(words_of(row.score), row.words);
}

struct Bench : Folder {
  Bench() {
    copy_lantern(*this);
    write("plan.yaml", lantern_plan(kLanternSentences));
  }
  std::optional<PairDrawer> drawer(const std::string& phrase, const Layers& layers = {}) const {
    AuditionArgs args;
    args.plan = (path() / "plan.yaml").string();
    args.passage.phrase = phrase;
    int code = 0;
    return PairDrawer::of(args, layers, code);
  }
};

// What was drawn as text: passage, the other reading, which comes first.
std::vector<std::string> drawn(PairDrawer drawer, std::uint64_t seed, int count) {
  Dice dice(seed);
  std::vector<std::string> all;
  for (int i = 0; i < count; ++i) {
    const auto pair = drawer.draw(dice);
    if (!pair) break;
    all.push_back(pair->audition->passage + " " + std::to_string(pair->other) +
                  (pair->own_first ? " own" : " other"));
  }
  return all;
}

TEST(BlindPairs, AreTheSameFromTheSameSeed) {
  const Bench bench;
  EXPECT_EQ(drawn(*bench.drawer(""), 5, 20), drawn(*bench.drawer(""), 5, 20));
  EXPECT_NE(drawn(*bench.drawer(""), 5, 20), drawn(*bench.drawer(""), 6, 20));
}

// Whoever always says "the first", or goes by what was first before, is right half of the time.
TEST(BlindPairs, HavePlansOwnFirstByACoin) {
  const Bench bench;
  const std::vector<std::string> all = drawn(*bench.drawer("1.1"), 1, 400);
  ASSERT_EQ(all.size(), 400u);
  int first = 0;
  int same = 0;
  std::set<std::string> kinds;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const auto own = [&](std::size_t k) { return all[k].ends_with(" own"); };
    first += own(i) ? 1 : 0;
    same += i > 0 && own(i) == own(i - 1) ? 1 : 0;
    kinds.insert(all[i]);
  }
  EXPECT_NEAR(first, 200, 40);  // four standard deviations
  EXPECT_NEAR(same, 200, 40);
  EXPECT_EQ(kinds.size(), 4u);  // both other motifs, either way round
}

TEST(BlindPairs, ComeFromAllPhrasesWhereNoneIsNamed) {
  const Bench bench;
  std::set<std::string> passages;
  for (const std::string& each : drawn(*bench.drawer(""), 1, 300)) {
    passages.insert(each.substr(0, each.find(' ', 7)));
  }
  EXPECT_EQ(passages.size(), 15u);  // 2 + 3 + 3 + 2 + 2 + 3
}

TEST(BlindPairs, AreNotDrawnWhereNothingDiffers) {
  const Bench bench;
  Layers flat;
  flat.amount = 0.0;
  EXPECT_TRUE(drawn(*bench.drawer("", flat), 1, 1).empty());
  EXPECT_TRUE(drawn(*bench.drawer("1.1", flat), 1, 1).empty());
}

}  // namespace
}  // namespace arsis::test
