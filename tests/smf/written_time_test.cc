// The integer tempos of a written file against the time map that they follow.
#include "smf/written_time.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "property.h"

namespace arsis {
namespace {

// Seconds at a tick, integrated from the whole tempos alone.
long double integrated(const WrittenTime& time, std::int64_t tick, int division) {
  long double microseconds = 0;
  for (std::size_t i = 0; i < time.tempos().size(); ++i) {
    const WrittenTime::Tempo& tempo = time.tempos()[i];
    if (i > 0 && tempo.tick >= tick) break;
    std::int64_t end = tick;
    if (i + 1 < time.tempos().size()) end = std::min(tick, time.tempos()[i + 1].tick);
    microseconds += static_cast<long double>(end - tempo.tick) *
                    static_cast<long double>(tempo.microseconds_per_quarter) / division;
  }
  return microseconds / 1e6L;
}

constexpr int kDivision = 960;

TEST(WrittenTime, WritesAnEvenTempoOnce) {
  const TimeMap map({{{0.0}, {0.0}}, {{1.0}, {0.5}}, {{2.0}, {1.0}}, {{7.5}, {3.75}}});
  const WrittenTime time = WrittenTime::following(map, kDivision);
  ASSERT_EQ(time.tempos().size(), 1u);
  EXPECT_EQ(time.tempos()[0].tick, 0);
  EXPECT_EQ(time.tempos()[0].microseconds_per_quarter, 500'000);
}

TEST(WrittenTime, MakesUpForARoundedTempo) {
  // A third of a second a quarter note: 333,333 microseconds lose a third of one each.
  std::vector<TimeMap::Knot> knots;
  for (int i = 0; i <= 30'000; ++i) knots.push_back({{static_cast<double>(i)}, {i / 3.0}});
  const WrittenTime time = WrittenTime::following(TimeMap(knots), kDivision);
  for (int i = 0; i <= 30'000; i += 1000) {
    EXPECT_NEAR(static_cast<double>(integrated(time, std::int64_t{i} * kDivision, kDivision)),
                i / 3.0, 0.6e-6)
        << i;
  }
}

TEST(WrittenTime, MakesUpForARoundedTempoWithinALongEvenStretch) {
  // The same piece as two knots: 10,000 seconds, of which whole microseconds would lose 10 ms, 29
  // ticks.
  const WrittenTime time =
      WrittenTime::following(TimeMap({{{0.0}, {0.0}}, {{30'000.0}, {10'000.0}}}), kDivision);
  const double tick = 1.0 / 3.0 / kDivision;
  for (int i = 0; i <= 30'000; ++i) {
    const std::int64_t at = std::int64_t{i} * kDivision;
    EXPECT_NEAR(static_cast<double>(integrated(time, at, kDivision)), i / 3.0, tick / 2) << i;
  }
  EXPECT_LT(time.tempos().size(), 500u);
}

TEST(WrittenTime, MakesUpForATempoThatAFileCannotSay) {
  // 20 seconds a quarter note for one, where a file can say 16.777215; then room to make up for it.
  const WrittenTime slow = WrittenTime::following(
      TimeMap({{{0.0}, {0.0}}, {{1.0}, {20.0}}, {{3.0}, {30.0}}, {{4.0}, {30.5}}}), kDivision);
  EXPECT_NEAR(static_cast<double>(integrated(slow, 1 * kDivision, kDivision)), 16.777215, 1e-9);
  EXPECT_NEAR(static_cast<double>(integrated(slow, 3 * kDivision, kDivision)), 30.0, 2e-6);
  EXPECT_NEAR(static_cast<double>(integrated(slow, 4 * kDivision, kDivision)), 30.5, 2e-6);
  // A tenth of a microsecond a quarter note: nothing is that fast.
  const WrittenTime fast = WrittenTime::following(
      TimeMap({{{0.0}, {0.0}}, {{100.0}, {1e-5}}, {{101.0}, {1.0}}}), kDivision);
  EXPECT_NEAR(static_cast<double>(integrated(fast, 100 * kDivision, kDivision)), 1e-4, 1e-9);
  EXPECT_NEAR(static_cast<double>(integrated(fast, 101 * kDivision, kDivision)), 1.0, 1e-6);
}

TEST(WrittenTime, BeginsAtZeroWhereTheMusicBeginsLater) {
  // The first quarter note takes up the silence before it; from then on the beats are at their
  // time.
  WrittenTime time = WrittenTime::following(
      TimeMap({{{0.0}, {0.25}}, {{1.0}, {0.75}}, {{2.0}, {1.25}}}), kDivision);
  EXPECT_EQ(time.tempos()[0].tick, 0);
  EXPECT_EQ(time.tick_at({0.75}), kDivision);
  EXPECT_EQ(time.tick_at({1.25}), 2 * kDivision);
  EXPECT_EQ(time.tick_at({0.25}), kDivision / 3);
  EXPECT_EQ(time.tick_at({-1.0}), 0);
}

TEST(WrittenTime, FindsTicksInAnyOrder) {
  WrittenTime time = WrittenTime::following(
      TimeMap({{{0.0}, {0.0}}, {{1.0}, {0.5}}, {{2.0}, {2.0}}, {{3.0}, {2.25}}}), kDivision);
  for (const double second : {2.25, 0.0, 0.5, 2.0, 0.25, 1.25, 9.0, 0.5}) {
    const std::int64_t tick = time.tick_at({second});
    EXPECT_NEAR(static_cast<double>(integrated(time, tick, kDivision)), second,
                1.5 / kDivision / 2);
  }
}

TEST(WrittenTime, FindsTheNearestTickOfAnyMap) {
  EXPECT_TRUE(test::holds(10'000, [] {
    const int division = *rc::gen::element(960, 1000, 10'080, 32'767);
    std::vector<TimeMap::Knot> knots = {{{0.0}, {*rc::gen::element(0.0, 0.1)}}};
    const int count = *rc::gen::inRange(1, 12);
    for (int i = 0; i < count; ++i) {
      // Stretches from under a tick to hundreds of bars, from a microsecond a beat to half a
      // minute.
      const double beats = *rc::gen::element(1e-5, 1.0 / 960, 1.0 / 3, 0.25, 1.0, 7.0, 2000.0);
      const double pace = *rc::gen::element(1e-6, 0.01, 0.2, 0.5000003, 0.7, 1.3, 16.9, 30.0);
      knots.push_back(
          {knots.back().beat + Beats{beats}, knots.back().second + Seconds{beats * pace}});
    }
    WrittenTime time = WrittenTime::following(TimeMap(knots), division);
    for (std::size_t i = 1; i < time.tempos().size(); ++i) {
      RC_ASSERT(time.tempos()[i].tick > time.tempos()[i - 1].tick);
      RC_ASSERT(time.tempos()[i].microseconds_per_quarter !=
                time.tempos()[i - 1].microseconds_per_quarter);
    }
    for (const WrittenTime::Tempo& tempo : time.tempos()) {
      RC_ASSERT(tempo.microseconds_per_quarter >= 1);
      RC_ASSERT(tempo.microseconds_per_quarter <= 16'777'215);
    }
    for (int i = 0; i < 5; ++i) {
      const double second = knots.back().second.value * *rc::gen::inRange(0, 1001) / 1000.0;
      const std::int64_t tick = time.tick_at({second});
      const long double here = integrated(time, tick, division);
      const long double away = std::abs(here - second);
      RC_ASSERT(away <= std::abs(integrated(time, tick + 1, division) - second) + 1e-9L);
      if (tick > 0)
        RC_ASSERT(away <= std::abs(integrated(time, tick - 1, division) - second) + 1e-9L);
    }
  }));
}

}  // namespace
}  // namespace arsis
