// What sounds at the goals of blocks.
#include "shape/summary.h"

#include <gtest/gtest.h>

#include "shape/bound.h"

namespace arsis {
namespace {

constexpr const char* kSoleMotif =
    "dynamics: [{at: 1:1, mark: f}]\nmotif: {length: 1 bar, from: 1:1}\n"
    "sentences: [{phrases: [/], main: 1}]\n";

TEST(GoalLevel, IsTheMelodysBeforeALouderAccompaniments) {
  const Score score = test::two_hands("C5 D5 E5 F5+A5", "C3 D3 E3 F3");
  const BoundPlan plan = test::bound(
      score, std::string(kSoleMotif) + "marks: [{at: 1:4, mark: sf, part: l}]\n", test::kTwoHands);
  const Shaped shaped = perform(score, plan);
  const std::optional<GoalLevel> goal = goal_level(score, plan, shaped, plan.motifs[0]);
  ASSERT_TRUE(goal.has_value());
  EXPECT_EQ(score.notes[goal->note].key, 81);  // the top note, not the one voiced under it
  EXPECT_NEAR(goal->level.value, -5.982, 1e-9);
  EXPECT_NEAR(goal->ceiling.value, -5.982, 1e-9);
  EXPECT_EQ(goal->at, shaped.performance.notes[goal->note].onset);
}

TEST(GoalLevel, IsNoneWhereNoNoteStarts) {
  const Score score = test::score_of("C5 D5 E5/2");
  const BoundPlan plan = test::bound(score,
                                     "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: "
                                     "[{motifs: [{goal: 1:4}]}], main: 1}]"
                                     "\n");
  EXPECT_FALSE(goal_level(score, plan, perform(score, plan), plan.motifs[0]).has_value());
}

}  // namespace
}  // namespace arsis
