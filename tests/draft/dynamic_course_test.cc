// The written dynamics averaged over stretches.
#include "draft/dynamic_course.h"

#include <gtest/gtest.h>

namespace arsis {
namespace {

// mf until 4, p from 4, a crescendo of three steps from 8 to 12, f until a diminuendo to mf, 16 to
// 20.
DynamicCourse course() {
  return DynamicCourse(
      {{{4.0}, {4.0}, -2, -2, false}, {{8.0}, {12.0}, -2, 1, false}, {{16.0}, {20.0}, 1, 0, true}});
}

TEST(DynamicCourse, IsMezzoForteBeforeItsFirstMark) {
  EXPECT_EQ(course().step_at({0.0}), 0.0);
  EXPECT_EQ(course().mean_step({{0.0}, {4.0}}), 0.0);
  EXPECT_FALSE(DynamicCourse(DynamicLine{}).written());
  EXPECT_EQ(DynamicCourse(DynamicLine{}).mean_step({{0.0}, {4.0}}), 0.0);
}

TEST(DynamicCourse, FollowsMarksAndHairpins) {
  EXPECT_EQ(course().step_at({4.0}), -2.0);
  EXPECT_EQ(course().step_at({10.0}), -0.5);
  EXPECT_EQ(course().step_at({14.0}), 1.0);
  EXPECT_EQ(course().step_at({99.0}), 0.0);
}

TEST(DynamicCourse, AveragesOverAnyStretch) {
  EXPECT_DOUBLE_EQ(course().mean_step({{2.0}, {6.0}}), -1.0);
  EXPECT_DOUBLE_EQ(course().mean_step({{8.0}, {12.0}}), -0.5);
  EXPECT_DOUBLE_EQ(course().mean_step({{8.0}, {10.0}}), -1.25);
  EXPECT_DOUBLE_EQ(course().mean_step({{6.0}, {14.0}}), (-4.0 - 2.0 + 2.0) / 8.0);
  EXPECT_DOUBLE_EQ(course().mean_step({{18.0}, {22.0}}), 0.25 * 0.5);
  EXPECT_EQ(course().mean_step({{10.0}, {10.0}}), -0.5);
}

TEST(DynamicCourse, TellsHowHairpinsCoverAStretch) {
  const auto rising = course().hairpins({{10.0}, {14.0}}, false);
  EXPECT_DOUBLE_EQ(rising.share, 0.5);
  EXPECT_TRUE(rising.from_before);
  EXPECT_FALSE(rising.to_after);
  const auto falling = course().hairpins({{14.0}, {18.0}}, true);
  EXPECT_DOUBLE_EQ(falling.share, 0.5);
  EXPECT_FALSE(falling.from_before);
  EXPECT_TRUE(falling.to_after);
  EXPECT_EQ(course().hairpins({{10.0}, {14.0}}, true).share, 0.0);
  EXPECT_EQ(course().hairpins({{12.0}, {16.0}}, false).share, 0.0);
  EXPECT_EQ(course().hairpins({{0.0}, {8.0}}, false).share, 0.0);
}

}  // namespace
}  // namespace arsis
