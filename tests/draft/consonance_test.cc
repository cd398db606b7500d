// Consonance of chords against Huron 1994, Music Perception 11(3):289-305: the dyads and sums are
// published, the means per dyad computed from them.
#include "draft/consonance.h"

#include <gtest/gtest.h>

#include <initializer_list>
#include <vector>

namespace arsis {
namespace {

PitchSet set_of(std::initializer_list<int> keys) {
  PitchSet set = 0;
  for (const int key : keys) set = with_key(set, key);
  return set;
}

TEST(IntervalClass, IsTheSmallerWayRoundTheOctave) {
  EXPECT_EQ(interval_class(60, 60), 0);
  EXPECT_EQ(interval_class(60, 72), 0);
  EXPECT_EQ(interval_class(71, 60), 1);
  EXPECT_EQ(interval_class(48, 64), 4);
  EXPECT_EQ(interval_class(67, 48), 5);
  EXPECT_EQ(interval_class(60, 66), 6);
}

TEST(Consonance, OfDyadsIsHurons) {
  const std::vector<double> published = {-1.428, -0.582, 0.594, 0.386, 1.240, -0.453};
  for (int i = 1; i <= 6; ++i) {
    EXPECT_EQ(dyad_consonance(i), published[static_cast<std::size_t>(i - 1)]) << i;
    EXPECT_EQ(*mean_consonance(set_of({60, 60 + i})), published[static_cast<std::size_t>(i - 1)]);
  }
}

TEST(Consonance, OfChordsSumsAsPublished) {
  EXPECT_NEAR(summed_consonance(set_of({0, 4, 7})), 2.220, 1e-9);
  EXPECT_NEAR(summed_consonance(set_of({0, 3, 7})), 2.220, 1e-9);
  EXPECT_NEAR(summed_consonance(set_of({0, 4, 8})), 1.158, 1e-9);
  EXPECT_NEAR(summed_consonance(set_of({0, 3, 6})), 0.735, 1e-9);
  EXPECT_NEAR(summed_consonance(0xFFF), -0.198, 1e-9);
}

// The sum prefers a major seventh chord to a triad, the mean does not.
TEST(Consonance, IsComparedByTheMeanOfAChordsDyads) {
  EXPECT_NEAR(summed_consonance(set_of({0, 4, 7, 11})), 2.418, 1e-9);
  EXPECT_NEAR(*mean_consonance(set_of({0, 4, 7})), 0.740, 5e-4);
  EXPECT_NEAR(*mean_consonance(set_of({0, 4, 7, 10})), 0.2965, 5e-5);
  EXPECT_NEAR(*mean_consonance(set_of({0, 3, 6, 9})), 0.245, 5e-4);
  EXPECT_FALSE(mean_consonance(set_of({0, 12})));
  EXPECT_FALSE(mean_consonance(0));
}

TEST(ChordTension, IsNothingForTriadsAndAllForClusters) {
  EXPECT_EQ(chord_tension(set_of({0, 4, 7})), 0.0);
  EXPECT_EQ(chord_tension(set_of({0, 7})), 0.0);
  EXPECT_EQ(chord_tension(set_of({0})), 0.0);
  EXPECT_NEAR(chord_tension(set_of({7, 11, 2, 5})), 0.37, 0.005);
  EXPECT_EQ(chord_tension(set_of({0, 1, 2})), 1.0);
}

TEST(ChordTension, IsTheSameInEveryKey) {
  for (int shift = 0; shift < 12; ++shift) {
    EXPECT_EQ(chord_tension(set_of({0 + shift, 4 + shift, 7 + shift, 10 + shift})),
              chord_tension(set_of({0, 4, 7, 10})));
  }
}

}  // namespace
}  // namespace arsis
