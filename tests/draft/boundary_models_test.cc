// The published measures of boundaries against their sources' own numbers.
#include "draft/boundary_models.h"

#include <gtest/gtest.h>

#include <vector>

namespace arsis {
namespace {

// Source of formula and weights: Cambouropoulos 2001, The local boundary detection model, Proc.
// ICMC; the numbers are worked from the formula by hand.
TEST(LocalBoundaries, FollowTheWorkedExample) {
  const double onsets[] = {0, 1, 2, 3, 6, 7, 8, 9};
  const double lengths[] = {1, 1, 1, 2, 1, 1, 1, 1};
  const int keys[] = {60, 62, 64, 65, 67, 65, 64, 62};
  std::vector<LineNote> line;
  for (std::size_t i = 0; i < 8; ++i) {
    line.push_back({{onsets[i]}, {onsets[i] + lengths[i]}, keys[i]});
  }
  const double expected[] = {0.0, 0.25, 1.0 / 3.0, 1.0, 1.0 / 3.0, 0.25, 0.25};
  const std::vector<double> strengths = local_boundaries(line);
  ASSERT_EQ(strengths.size(), 7u);
  for (std::size_t i = 0; i < 7; ++i) EXPECT_NEAR(strengths[i], expected[i], 1e-9) << i;
}

TEST(LocalBoundaries, AreNoneInALineThatNeverChanges) {
  const std::vector<LineNote> line = {{{0}, {1}, 60}, {{1}, {2}, 60}, {{2}, {3}, 60}};
  EXPECT_EQ(local_boundaries(line), (std::vector<double>{0.0, 0.0}));
  EXPECT_TRUE(local_boundaries({}).empty());
  EXPECT_TRUE(local_boundaries(std::vector<LineNote>(1)).empty());
}

// Source: Temperley 2001, The Cognition of Basic Musical Structures, and the authors' program
// grouper: length penalty 600 |log2(N / 10)|, phase penalty 0, 150 or 300, gap score 500 (IOI +
// OOI) / mean IOI. The numbers follow from the formulas.
TEST(GrouperPenalties, AreThoseOfTheSource) {
  struct Row {
    int notes;
    double penalty;
  };
  for (const Row& row : {Row{10, 0.0}, {5, 600.0}, {20, 600.0}, {8, 193.2}, {16, 406.8}}) {
    EXPECT_NEAR(length_penalty(row.notes), row.penalty, 0.05) << row.notes;
  }
  EXPECT_DOUBLE_EQ(length_penalty(8, 8.0), 0.0);
  EXPECT_EQ(phase_penalty(0.0), 0.0);
  EXPECT_EQ(phase_penalty(-2.0), 0.0);
  EXPECT_EQ(phase_penalty(1.5), 150.0);
  EXPECT_EQ(phase_penalty(-0.5), 150.0);
  EXPECT_EQ(phase_penalty(0.25), 300.0);
  EXPECT_DOUBLE_EQ(gap_score({2.0}, {0.0}, {1.0}), 1000.0);
  EXPECT_DOUBLE_EQ(gap_score({2.0}, {1.0}, {1.0}), 1500.0);
}

// Source: Frankland and Cohen 2004, Music Perception 21:499-543, the quantified preference rules
// 2b, 3a and 3d.
TEST(PreferenceRules, AreThoseOfTheSource) {
  EXPECT_NEAR(proximity({1}, {3}, {1}), 0.6667, 1e-4);
  EXPECT_NEAR(proximity({2}, {3}, {1}), 0.5, 1e-9);
  EXPECT_EQ(proximity({3}, {3}, {1}), 0.0);
  EXPECT_NEAR(register_change(2, 7, 2), 0.7143, 1e-4);
  EXPECT_NEAR(register_change(-2, -7, 2), 0.7143, 1e-4);
  EXPECT_EQ(register_change(7, 7, 0), 0.0);
  EXPECT_NEAR(length_change({1}, {4}), 0.75, 1e-9);
  EXPECT_NEAR(length_change({4}, {1}), 0.75, 1e-9);
  EXPECT_EQ(length_change({0}, {0}), 0.0);
}

}  // namespace
}  // namespace arsis
