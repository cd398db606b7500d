// The performance's own time: straight between its knots.
#include "score/time_map.h"

#include <gtest/gtest.h>

#include <cmath>

#include "property.h"

namespace arsis {
namespace {

TEST(TimeMap, IsStraightBetweenItsKnotsAndGoesOnAfterTheLast) {
  const TimeMap map(std::vector<TimeMap::Knot>{{{0.0}, {0.5}}, {{2.0}, {1.5}}, {{3.0}, {3.5}}});
  struct Row {
    double beat;
    double second;
  };
  constexpr Row kRows[] = {{0.0, 0.5}, {1.0, 1.0}, {2.0, 1.5}, {2.25, 2.0}, {3.0, 3.5}, {5.0, 7.5}};
  for (const auto& [beat, second] : kRows) {
    EXPECT_DOUBLE_EQ(map.seconds_at({beat}).value, second);
    EXPECT_DOUBLE_EQ(map.beats_at({second}).value, beat);
  }
}

TEST(TimeMap, GoesAtAHundredAndTwentyFromASingleKnot) {
  const TimeMap map(std::vector<TimeMap::Knot>{{{0.0}, {1.0}}});
  EXPECT_DOUBLE_EQ(map.seconds_at({4.0}).value, 3.0);
  EXPECT_DOUBLE_EQ(TimeMap().seconds_at({4.0}).value, 2.0);
}

TEST(TimeMap, IsItsOwnInverse) {
  EXPECT_TRUE(test::holds(3000, [] {
    std::vector<TimeMap::Knot> knots = {{{0.0}, {*rc::gen::inRange(0, 1000) / 1e3}}};
    const int count = *rc::gen::inRange(0, 20);
    for (int i = 0; i < count; ++i) {
      knots.push_back({knots.back().beat + Beats{*rc::gen::inRange(1, 4000) / 1e3},
                       knots.back().second + Seconds{*rc::gen::inRange(1, 4000) / 1e3}});
    }
    const TimeMap map(knots);
    const Beats beat{*rc::gen::inRange(0, 100'000) / 1e3};
    RC_ASSERT(std::abs((map.beats_at(map.seconds_at(beat)) - beat).value) < 1e-6);
  }));
}

}  // namespace
}  // namespace arsis
