// The published grouping rule that the drafts are held against, by its source's own numbers.
#include "draft/grouper.h"

#include <gtest/gtest.h>

#include <vector>

namespace arsis {
namespace {

// Source: Temperley 2001, The Cognition of Basic Musical Structures, chapter 3, and the authors'
// program grouper: 600 |log2(N / 10)|; 0, 150 or 300. The numbers follow from the formulas.
TEST(Grouper, HasThePenaltiesOfTheSource) {
  struct Row {
    int notes;
    double penalty;
  };
  for (const Row& row : {Row{10, 0.0}, {5, 600.0}, {20, 600.0}, {8, 193.2}, {16, 406.8}}) {
    EXPECT_NEAR(test::length_penalty(row.notes), row.penalty, 0.05) << row.notes;
  }
  EXPECT_DOUBLE_EQ(test::length_penalty(8, 8.0), 0.0);
  EXPECT_EQ(test::phase_penalty(0.0), 0.0);
  EXPECT_EQ(test::phase_penalty(-2.0), 0.0);
  EXPECT_EQ(test::phase_penalty(1.5), 150.0);
  EXPECT_EQ(test::phase_penalty(-0.5), 150.0);
  EXPECT_EQ(test::phase_penalty(0.25), 300.0);
}

TEST(Grouper, PartsALineAtItsRests) {
  std::vector<MelodyNote> line;
  for (int i = 0; i < 24; ++i) {
    const double onset = i + 2.0 * (i / 8);  // a rest of two after every eighth note
    line.push_back({{onset}, {onset + 1.0}, 60});
  }
  EXPECT_EQ(test::grouper_phrases(line, {10.0}), (std::vector<std::size_t>{0, 8, 16}));
  EXPECT_TRUE(test::grouper_phrases({}, {8.0}).empty());
}

}  // namespace
}  // namespace arsis
