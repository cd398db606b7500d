// Melody lead against the published travel times of a piano's hammers.
#include "shape/lead.h"

#include <gtest/gtest.h>

namespace arsis {
namespace {

Velocity v(int velocity) { return Velocity::clamped(velocity); }

TEST(MelodyLead, HasTheValuesOfThePublishedLaw) {
  // Source: Goebl 2001, JASA 110(1); Goebl & Bresin 2003, JASA 114(4) (formulas from memory; values
  // computed).
  EXPECT_NEAR(melody_lead(v(90), v(64)).value * 1e3, 24.85, 0.01);
  EXPECT_NEAR(melody_lead(v(77), v(52)).value * 1e3, 29.10, 0.01);
  EXPECT_NEAR(melody_lead(v(80), v(60)).value * 1e3, 21.29, 0.01);
}

TEST(MelodyLead, IsNoneAtEqualLevelAndBehindALouderAccompaniment) {
  for (int velocity = 1; velocity <= 127; ++velocity) {
    EXPECT_EQ(melody_lead(v(velocity), v(velocity)).value, 0.0);
    EXPECT_EQ(melody_lead(v(velocity), v(127)).value, 0.0);
  }
}

TEST(MelodyLead, IsTwentyToThirtyFiveMillisecondsForTwentyFiveUnits) {
  // The range of velocities in which pianists play a melody over an accompaniment.
  for (int melody = 70; melody <= 100; ++melody) {
    const double lead = melody_lead(v(melody), v(melody - 25)).value;
    EXPECT_GE(lead, 0.017) << melody;
    EXPECT_LE(lead, 0.035) << melody;
  }
  EXPECT_GE(melody_lead(v(90), v(65)).value, 0.020);
}

TEST(MelodyLead, GrowsWithTheDifference) {
  for (int melody = 20; melody <= 127; ++melody) {
    for (int other = 2; other <= melody; ++other) {
      EXPECT_GT(melody_lead(v(melody), v(other - 1)), melody_lead(v(melody), v(other)));
    }
  }
}

}  // namespace
}  // namespace arsis
