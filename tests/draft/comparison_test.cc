// Members set against one another.
#include "draft/comparison.h"

#include <gtest/gtest.h>

#include <vector>

namespace arsis {
namespace {

using Measures = std::vector<std::optional<double>>;
using Scores = std::vector<double>;

TEST(Compared, GivesEachItsDistanceToTheGreatestOther) {
  EXPECT_EQ(compared(Measures{1.0, 3.0}, 4.0), (Scores{-0.5, 0.5}));
  EXPECT_EQ(compared(Measures{1.0, 3.0, 2.0}, 4.0), (Scores{-0.5, 0.25, -0.25}));
  EXPECT_EQ(compared(Measures{1.0, 9.0}, 4.0), (Scores{-1.0, 1.0}));
}

TEST(Compared, GivesNothingToThoseThatShareTheLead) {
  EXPECT_EQ(compared(Measures{3.0, 3.0, 1.0}, 4.0), (Scores{0.0, 0.0, -0.5}));
}

TEST(Compared, PutsMembersWithoutAMeasureLast) {
  EXPECT_EQ(compared(Measures{std::nullopt, 3.0, 1.0}, 4.0), (Scores{-1.0, 0.5, -0.5}));
  EXPECT_EQ(compared(Measures{std::nullopt, 3.0}, 4.0), (Scores{-1.0, 1.0}));
  EXPECT_EQ(compared(Measures{std::nullopt, std::nullopt}, 4.0), (Scores{0.0, 0.0}));
}

TEST(Compared, SaysNothingOfAMemberAlone) {
  EXPECT_EQ(compared(Measures{3.0}, 4.0), Scores{0.0});
  EXPECT_TRUE(compared(Measures{}, 4.0).empty());
}

}  // namespace
}  // namespace arsis
