// `levels:` of a plan and of its parts.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "plan/plan_text.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::complaints;
using test::kWholePlan;
using test::plan_of;

TEST(LevelsReader, ReadsRowsRelativeToTheLoudest) {
  const Plan plan =
      plan_of(kWholePlan + "levels: {1: -63 dB, 16: -41 dB, 64: -16 dB, 127: -3 dB}\n");
  ASSERT_NE(plan.levels, nullptr);
  for (const int key : {0, 60, 127}) {
    EXPECT_DOUBLE_EQ(plan.levels->level_of(Velocity::clamped(127), key).value, 0.0);
    EXPECT_DOUBLE_EQ(plan.levels->level_of(Velocity::clamped(64), key).value, -13.0);
    EXPECT_DOUBLE_EQ(plan.levels->level_of(Velocity::clamped(1), key).value, -60.0);
  }
}

TEST(LevelsReader, LeavesTheLawWhereNothingIsSaid) {
  const Plan plan = plan_of(kWholePlan + "parts: [{name: a, role: melody}]\n");
  EXPECT_EQ(plan.levels, nullptr);
  EXPECT_EQ(plan.parts[0].levels, nullptr);
}

TEST(LevelsReader, SaysWhatIsWrong) {
  struct Row {
    std::string levels;
    std::vector<std::string> messages;
  };
  const std::string map = "write levels: {1: -60 dB, 64: -13 dB, 127: 0 dB}";
  const Row rows[] = {
      {"", {"p:5:1: levels must be a map from velocity to level; " + map}},
      {"-3 dB", {"p:5:9: levels must be a map from velocity to level; " + map}},
      {"[1, 2]", {"p:5:9: levels must be a map from velocity to level; " + map}},
      {"{}",
       {"p:5:9: levels of fewer than two velocities say nothing; write two velocities or more, the "
        "last one 127"}},
      {"{127: 0 dB}",
       {"p:5:9: levels of fewer than two velocities say nothing; write two velocities or more, the "
        "last one 127"}},
      {"{1: -60 dB, 100: 0 dB}",
       {"p:5:9: levels lack velocity 127, against which all are measured; write two velocities or "
        "more, the last one 127"}},
      {"{0: -60 dB, 127: 0 dB}",
       {"p:5:10: '0' is no velocity; write a whole number from 1 to 127"}},
      {"{1: -60 dB, 128: 0 dB}",
       {"p:5:21: '128' is no velocity; write a whole number from 1 to 127"}},
      {"{loud: 0 dB}", {"p:5:10: 'loud' is no velocity; write a whole number from 1 to 127"}},
      {"{1:-60 dB, 127: 0 dB}", {"p:5:10: '1:-60 dB' is no velocity; write a blank after '1:'"}},
      {"{1: -60, 127: 0 dB}",
       {"p:5:13: the level of velocity 1 '-60' lacks a unit; write -200 dB to 200 dB, with the "
        "unit"}},
      {"{1: soft, 127: 0 dB}",
       {"p:5:13: the level of velocity 1 cannot be 'soft'; write -200 dB to 200 dB"}},
      {"{1: -201 dB, 127: 0 dB}",
       {"p:5:13: the level of velocity 1 cannot be '-201 dB'; write -200 dB to 200 dB"}},
      {"{64: -9 dB, 16: -30 dB, 127: 0 dB}",
       {"p:5:21: velocity 16 comes after 64; write the velocities in rising order"}},
      {"{16: -9 dB, 64: -30 dB, 127: 0 dB}",
       {"p:5:21: velocity 64 is softer than 16; levels may not fall where velocities rise"}},
      {"{1: x, 0: 0 dB, 127: 0 dB}",
       {"p:5:13: the level of velocity 1 cannot be 'x'; write -200 dB to 200 dB",
        "p:5:16: '0' is no velocity; write a whole number from 1 to 127"}},
      {"{1: 0 dB, 1: 0 dB, 127: 0 dB}",
       {"p:5:19: '1' is given twice; keep one; the first is in line 5"}},
  };
  for (const Row& row : rows) {
    EXPECT_EQ(complaints(kWholePlan + "levels: " + row.levels + "\n"), row.messages) << row.levels;
  }
}

TEST(LevelsReader, LetsLevelsStayAsTheyAre) {
  const Plan plan = plan_of(kWholePlan + "levels: {1: 0 dB, 127: 0 dB}\n");
  ASSERT_NE(plan.levels, nullptr);
  EXPECT_DOUBLE_EQ(plan.levels->level_of(Velocity::clamped(1), 60).value, 0.0);
}

TEST(BoundLevels, AreThePartsOwnElseThePlansAndNoneForDrums) {
  Score score = test::score_of(test::ScoreText{.parts = {"C5/8", "C4/8", "C3/8", "C2/8"}});
  score.parts[3].channel = 9;
  const BoundPlan bound = test::bound_of(
      "arsis: 1\nscore: a.mid\nmotif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u /]}]\n"
      "levels: {1: -50 dB, 127: 0 dB}\n"
      "parts:\n"
      "  - {name: a, track: 1, role: melody}\n"
      "  - {name: b, track: 2, role: bass, levels: {1: -30 dB, 127: 0 dB}}\n"
      "  - {name: d, track: 4, role: bass}\n",
      score);
  const auto softest = [&](std::size_t part) {
    return bound.parts[part].levels->level_of(Velocity::clamped(1), 60).value;
  };
  ASSERT_EQ(bound.parts.size(), 4u);
  EXPECT_DOUBLE_EQ(softest(0), -50.0);
  EXPECT_DOUBLE_EQ(softest(1), -30.0);
  EXPECT_DOUBLE_EQ(softest(2), -50.0);  // which the plan does not name
  EXPECT_EQ(bound.parts[3].levels, nullptr);
}

}  // namespace
}  // namespace arsis
