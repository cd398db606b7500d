// How alike two stretches of a line are.
#include "draft/likeness.h"

#include <gtest/gtest.h>

#include "draft/drafted.h"

namespace arsis::test {
namespace {

double likeness_of_bars(const std::string& first, const std::string& second) {
  const Excerpt music = phrase(first + " " + second, kTwoBars, "C3/4 C3/4");
  return likeness(music.surface(), {{0.0}, {4.0}}, {{4.0}, {8.0}});
}

TEST(Likeness, OfTheSameIsOneHoweverHigh) {
  EXPECT_EQ(likeness_of_bars("C5 E5 D5/2", "C5 E5 D5/2"), 1.0);
  EXPECT_EQ(likeness_of_bars("C5 E5 D5/2", "F5 A5 G5/2"), 1.0);
  EXPECT_EQ(likeness_of_bars("C5 E5 D5/2", "D5 F5 E5/2"), 1.0);  // a sequence within the scale
}

TEST(Likeness, CountsRhythmAndContourHalfEach) {
  EXPECT_EQ(likeness_of_bars("C5 E5 D5/2", "C5 A4 B4/2"), 0.5);   // same rhythm, turned over
  EXPECT_EQ(likeness_of_bars("C5 E5 D5/2", "C5 C6 G5/2"), 0.75);  // same ways, other intervals
  EXPECT_EQ(likeness_of_bars("C5 E5 G5 C6", "C5/2 E5/2"), 0.5);   // half of the notes
}

TEST(Likeness, IsMutual) {
  EXPECT_EQ(likeness_of_bars("C5/2 E5/2", "C5 E5 G5 C6"), 0.5);
  EXPECT_EQ(likeness_of_bars("C5/3 E5", "C5 E5/2 G5"), likeness_of_bars("C5 E5/2 G5", "C5/3 E5"));
}

TEST(Likeness, OfSilenceIsNothing) { EXPECT_EQ(likeness_of_bars("C5 E5 D5/2", "r/4"), 0.0); }

}  // namespace
}  // namespace arsis::test
