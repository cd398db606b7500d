// How alike two stretches of a melody are.
#include "draft/parallels.h"

#include <gtest/gtest.h>

#include <vector>

#include "draft/boundaries.h"
#include "draft/drafting.h"

namespace arsis {
namespace {

using test::Piece;
using test::score_of;

std::vector<LineNote> line_of(const char* notes) {
  const Piece piece(score_of(notes));
  return survey_boundaries(piece.material()).line;
}

TEST(Likeness, TellsRhythmContourAndPitchApart) {
  struct Row {
    const char* what;
    const char* bars;  // two of 4/4
    Likeness alike;
  };
  const Row rows[] = {{"the same", "C4 D4 E4/2 C4 D4 E4/2", {1.0, 1.0, 1.0}},
                      {"a fifth higher", "C4 D4 E4/2 G4 A4 B4/2", {1.0, 1.0, 0.0}},
                      {"in minor", "C4 D4 E4/2 C4 D4 Eb4/2", {1.0, 1.0, 2.0 / 3.0}},
                      {"wider, the same way", "C4 D4 E4/2 C4 F4 A4/2", {1.0, 0.5, 1.0 / 3.0}},
                      {"upside down", "C4 E4 G4/2 C4 A3 F3/2", {1.0, 0.0, 1.0 / 3.0}},
                      {"another rhythm", "C4 D4 E4/2 C4/1.5 D4/.5 E4/2", {2.0 / 3.0, 1.0, 1.0}},
                      {"nothing in common", "C4/4 r E4 C4 E4", {0.0, 0.0, 0.0}},
                      {"two silences", "r/4 r/4 C4", {1.0, 1.0, 1.0}},
                      {"a silence and a note", "r/4 C4/4", {0.0, 0.0, 0.0}}};
  for (const Row& row : rows) {
    const std::vector<LineNote> line = line_of(row.bars);
    const Likeness alike = likeness(line, {{0.0}, {4.0}}, {{4.0}, {8.0}});
    EXPECT_DOUBLE_EQ(alike.rhythm, row.alike.rhythm) << row.what;
    EXPECT_DOUBLE_EQ(alike.contour, row.alike.contour) << row.what;
    EXPECT_DOUBLE_EQ(alike.pitch, row.alike.pitch) << row.what;
  }
}

TEST(Likeness, HoldsALiteralReturnAboveATransposedOne) {
  EXPECT_DOUBLE_EQ((Likeness{1.0, 1.0, 1.0}.total()), 1.0);
  EXPECT_GT((Likeness{1.0, 1.0, 1.0}.total()), (Likeness{1.0, 1.0, 0.0}.total()));
  EXPECT_GT((Likeness{1.0, 1.0, 0.0}.total()), (Likeness{1.0, 0.0, 0.0}.total()));
  EXPECT_DOUBLE_EQ((Likeness{0.0, 1.0, 1.0}.total()), 0.0);
}

TEST(Parallels, FindBlocksThatComeAgain) {
  // a b a b c c, a bar each.
  const std::vector<LineNote> line =
      line_of("C4 D4 E4/2 G4/3 A4 C4 D4 E4/2 G4/3 A4 F4/1.5 F4/.5 B3/2 F4/1.5 F4/.5 B3/2");
  const std::vector<Beats> edges = {{0}, {4}, {8}, {12}, {16}, {20}, {24}};
  const Parallels parallels(line, edges);
  EXPECT_NEAR(parallels.block(2, 2, 2), 1.0 - parallels.mean(), 1e-9);
  EXPECT_NEAR(parallels.block(5, 1, 1), 1.0 - parallels.mean(), 1e-9);
  EXPECT_LT(parallels.block(1, 1, 1), 0.3);
  EXPECT_NEAR(parallels.opening(2), 1.0 - parallels.mean(), 1e-9);
  EXPECT_LT(parallels.opening(4), 0.3);
  EXPECT_EQ(parallels.opening(0), 0.0);
  EXPECT_EQ(parallels.block(2, 2, 3), 0.0);  // nothing so far before
  // What lies past the end is left out.
  EXPECT_NEAR(parallels.block(5, 3, 1), parallels.block(5, 1, 1), 1e-9);
}

}  // namespace
}  // namespace arsis
