// The mains that our own plans name, beside those that the evidence chooses for the same blocks.
// The plans were written before the weights were; two readings can both be right, so that no more
// than most can agree.
#include <gtest/gtest.h>

#include <cstdio>
#include <filesystem>

#include "draft/mains.h"
#include "plan/plan_reader.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

struct Tally {
  int choices = 0;  // of blocks with several members
  int agree = 0;
  int first = 0;  // that the first member is the plan's main
  int last = 0;
  int firm = 0;  // without doubt
  int firm_agree = 0;

  void add(const Choice& choice, const Block& block) {
    if (block.count < 2) return;
    const std::uint32_t planned = block.main - block.first;
    ++choices;
    agree += choice.main == planned ? 1 : 0;
    first += planned == 0 ? 1 : 0;
    last += planned + 1 == block.count ? 1 : 0;
    if (choice.doubtful) return;
    ++firm;
    firm_agree += choice.main == planned ? 1 : 0;
  }
};

void add_plan(Tally& tally, const std::string& name) {
  const std::filesystem::path path =
      std::filesystem::path(ARSIS_SOURCE_DIR) / "plans" / (name + ".yaml");
  const Result<Plan> plan = read_plan(path);
  ASSERT_TRUE(plan) << name;
  Result<Score> read = read_score(score_path(*plan));
  ASSERT_TRUE(read) << name;
  const Score score = with_plan_pickup(*std::move(read), *plan);
  const Result<BoundPlan> bound = bind_plan(*plan, score);
  ASSERT_TRUE(bound) << name;
  const Printed printed;
  const Mains mains = choose_mains(Material{score, *bound, printed}, structure_of(*bound));
  for (std::size_t i = 0; i < mains.phrases.size(); ++i) {
    tally.add(mains.phrases[i], bound->phrases[i]);
  }
  for (std::size_t i = 0; i < mains.sentences.size(); ++i) {
    tally.add(mains.sentences[i], bound->sentences[i]);
  }
  ASSERT_EQ(bound->piece.size(), 1u) << name;
  ASSERT_TRUE(mains.piece) << name;
  EXPECT_EQ(mains.piece->main, bound->piece[0].main) << name;
}

TEST(Mains, AgreeWithMostOfOurOwnPlans) {
  Tally tally;
  for (const std::string name : {"lantern-song", "ferry-study", "mill-round"}) {
    add_plan(tally, name);
  }
  std::printf(
      "mains as in our plans: %d of %d, %d of the %d without doubt; "
      "always the first %d, always the last %d\n",
      tally.agree, tally.choices, tally.firm_agree, tally.firm, tally.first, tally.last);
  EXPECT_GE(tally.agree, tally.choices * 3 / 4);
  EXPECT_GT(tally.agree, tally.last);
  EXPECT_GT(tally.agree, tally.first);
  EXPECT_GE(tally.firm_agree * tally.choices, tally.agree * tally.firm);
}

}  // namespace
}  // namespace arsis
