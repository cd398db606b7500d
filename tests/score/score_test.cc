// The score as a whole: its end, its ticks, its pickup, and whether it looks played.
#include "score/score.h"

#include <gtest/gtest.h>

#include "score/quantization.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::score_of;

TEST(Score, EndsWithTheNoteThatEndsLast) {
  EXPECT_EQ(score_of("C4/8 @2 E4 F4").end().value, 8.0);
  EXPECT_EQ(Score{}.end().value, 0.0);
}

TEST(Score, SnapsMomentsToItsTicks) {
  Score score;
  score.division = 24;
  EXPECT_DOUBLE_EQ(score.snapped({1.0 / 3.0}).value, 8.0 / 24.0);
  EXPECT_DOUBLE_EQ(score.snapped({0.51}).value, 12.0 / 24.0);
}

TEST(Score, CountsItsBarsFromThePickup) {
  const Score score = with_pickup(score_of("G4 C5 D5 E5 F5"), {1.0});
  EXPECT_EQ(score.bars.all().front().number, 0);
  EXPECT_EQ(to_string(score.bars.position_of({1.0})), "1:1");
  EXPECT_EQ(to_string(score.bars.position_of({0.0})), "0:4");
}

// 480 ticks: sixteenths of a quarter are 30 ticks apart, twelfths 40, tenths 48, sevenths 68.57.
TEST(OffGridShare, KnowsTheGridsOfWrittenMusic) {
  const auto share = [](double tick, int division) {
    Score score = score_of("C4");
    score.division = division;
    score.notes[0].onset = {tick / division};
    return off_grid_share(score);
  };
  for (const double tick : {0.0, 30.0, 40.0, 48.0, 69.0, 137.0, 450.0}) {
    EXPECT_EQ(share(tick, 480), 0.0) << tick;
  }
  for (const double tick : {1.0, 29.0, 35.0, 67.0, 100.0, 479.0}) {
    EXPECT_EQ(share(tick, 480), 1.0) << tick;
  }
  EXPECT_EQ(share(1.0, 24), 0.0) << "a coarse division cannot tell";
}

TEST(OffGridShare, IsTheShareOfTheOnsets) {
  Score score = score_of("C4 C4 C4 C4");
  score.notes[3].onset = score.notes[3].onset + Beats{7.0 / 480.0};
  EXPECT_DOUBLE_EQ(off_grid_share(score), 0.25);
  EXPECT_EQ(off_grid_share(Score{}), 0.0);
}

}  // namespace
}  // namespace arsis
