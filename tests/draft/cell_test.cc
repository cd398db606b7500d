// Which even cell a piece has, and how it lies over irregular bars.
#include "draft/cell.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "draft/drafting.h"
#include "draft/random_score.h"
#include "property.h"

namespace arsis {
namespace {

using test::Piece;
using test::repeated;
using test::score_of;
using enum WrittenLength::Unit;

std::string edges_of(const CellGrid& grid, const Score& score) {
  std::string text;
  for (const Beats at : grid.edges) text += to_string(score.bars.position_of(at)) + " ";
  return text;
}

// The likeliest cell: its edges.
std::string likeliest(const Score& score) {
  const Piece piece(score);
  const auto choices = likely_cells(piece.material(), survey_boundaries(piece.material()));
  return choices.empty() ? "none" : edges_of(choices.front().grid, piece.score);
}

TEST(CellChoice, FollowsThePickup) {
  EXPECT_EQ(likeliest(score_of("C5 " + repeated("D5 E5 F5 G5", 3), {4, 4}, Beats{1.0})),
            "0:4 1:4 2:4 3:5 ");
  EXPECT_EQ(likeliest(score_of("C5/.5 " + repeated("D5 E5/.5 F5 G5/.5", 3), {6, 8}, Beats{0.5})),
            "0:6 1:6 2:6 3:7 ");
  EXPECT_EQ(likeliest(score_of(repeated("D5 E5 F5 G5", 3))), "1:1 2:1 3:1 3:5 ");
}

TEST(CellChoice, FollowsRestsWhereThePieceBeginsOnTheBarLine) {
  EXPECT_EQ(likeliest(score_of("G5 E5/1.5 r/.5 C5 " + repeated("G5 E5/1.5 r/.5 C5", 4) + "G5")),
            "1:1 1:4 2:4 3:4 4:4 5:4 6:4 ");
}

TEST(CellChoice, GoesByBarsOfUsualFullness) {
  struct Row {
    const char* what;
    Score score;
    Beats length;
  };
  const Row rows[] = {
      {"four notes in 4/4", score_of(repeated("C5 D5 E5 F5", 6)), {4.0}},
      {"sixteen notes in 4/4", score_of(repeated("C5/.25 D5/.25 E5/.25 F5/.25", 24)), {2.0}},
      {"twelve notes in 12/8", score_of(repeated("C5/.5 D5/.5 E5/.5", 24), {12, 8}), {3.0}},
      {"twelve notes in 3/4: no half", score_of(repeated("C5/.25 D5/.25", 36), {3, 4}), {3.0}},
      {"one note in 2/4", score_of(repeated("C5/2 D5/2", 6), {2, 4}), {4.0}},
      {"six notes in 6/8", score_of(repeated("C5/.5 D5/.5 E5/.5", 12), {6, 8}), {3.0}}};
  for (const Row& row : rows) {
    const Piece piece(row.score);
    const auto choices = likely_cells(piece.material(), survey_boundaries(piece.material()));
    ASSERT_FALSE(choices.empty()) << row.what;
    EXPECT_EQ(choices.front().grid.cell.length.value, row.length.value) << row.what;
  }
}

TEST(CellGrid, JoinsWhatIsTooShortForACell) {
  struct Row {
    const char* what;
    std::vector<TimeSignatureChange> signatures;
    std::optional<Beats> pickup;
    std::string notes;
    Beats upbeat;
    const char* edges;
  };
  const Row rows[] = {{"a pickup before cells from the bar line",
                       {{{0}, {4, 4}}},
                       Beats{1},
                       repeated("C5", 9),
                       {0},
                       "0:4 2:1 2:5 "},
                      {"a long pickup is a cell",
                       {{{0}, {4, 4}}},
                       Beats{3},
                       repeated("C5", 11),
                       {0},
                       "0:2 1:1 2:1 2:5 "},
                      {"no pickup, cells from the upbeat, an afterbeat",
                       {{{0}, {4, 4}}},
                       {},
                       repeated("C5", 12),
                       {1},
                       "1:1 1:4 2:4 3:5 "},
                      {"a last note on a bar line",
                       {{{0}, {4, 4}}},
                       {},
                       repeated("C5", 9),
                       {1},
                       "1:1 1:4 2:4 3:4 "},
                      {"a bar cut short by its own upbeat",
                       {{{0}, {4, 4}}, {{7}, {4, 4}}, {{8}, {4, 4}}},
                       {},
                       repeated("C5", 16),
                       {1},
                       "1:1 1:4 3:1 4:4 5:5 "},
                      {"a change of metre keeps the upbeat",
                       {{{0}, {3, 4}}, {{6}, {4, 4}}},
                       {},
                       repeated("C5", 13),
                       {1},
                       "1:1 1:3 2:3 3:4 4:4 "}};
  for (const Row& row : rows) {
    test::ScoreText text;
    text.parts = {row.notes};
    text.signatures = row.signatures;
    text.pickup = row.pickup;
    const Score score = score_of(text);
    EXPECT_EQ(edges_of(grid_over(score, {1.0, kBar, {}}, row.upbeat), score), row.edges)
        << row.what;
  }
}

TEST(CellGrid, BeginsWithARestOfLessThanHalfItsLength) {
  EXPECT_EQ(edges_of(grid_over(score_of("r C5 C5 C5 C5/4"), {1.0, kBar, {}}, {0}),
                     score_of("r C5 C5 C5 C5/4")),
            "1:1 2:1 2:5 ");
  const Score late = score_of("r/4 r/3 C5 C5/4 C5/4");
  EXPECT_EQ(edges_of(grid_over(late, {1.0, kBar, {}}, {0}), late), "2:4 4:1 4:5 ");
  EXPECT_EQ(edges_of(grid_over(late, {1.0, kBar, {}}, {1}), late), "2:4 3:4 4:4 ");
}

TEST(CellGrid, BeginsWhereThePlayerSays) {
  const Score score = score_of(repeated("C5", 12));
  EXPECT_EQ(edges_of(grid_from(score, {{4.0}, {3.0}}), score), "1:4 2:4 3:5 ");
  EXPECT_EQ(edges_of(grid_from(score, {{2.0}, {1.0}}), score), "1:2 1:4 2:2 2:4 3:2 3:4 3:5 ");
  EXPECT_EQ(edges_of(grid_from(score, {{3.0}, {0.0}}), score), "1:1 1:4 2:3 3:2 3:5 ");
  EXPECT_EQ(grid_from(score, {{4.0}, {50.0}}).cells(), 0u);
}

TEST(CellGrid, IsWrittenInBarsWherePossible) {
  const Bars bars = score_of(repeated("C5", 12), {3, 4}).bars;
  const auto text = [&](double beats) {
    const WrittenLength length = written_length(bars, {{beats}, {0.0}});
    return std::to_string(length.number) + (length.unit == kBar ? " bar" : " beat");
  };
  EXPECT_EQ(text(3.0), "1.000000 bar");
  EXPECT_EQ(text(1.5), "0.500000 bar");
  EXPECT_EQ(text(6.0), "2.000000 bar");
  EXPECT_EQ(text(2.0), "2.000000 beat");
}

TEST(CellGrid, CoversEveryNoteInOrder) {
  EXPECT_TRUE(test::holds(1000, [] {
    const Piece piece(test::random_score());
    const Score& score = piece.score;
    for (const CellChoice& choice :
         likely_cells(piece.material(), survey_boundaries(piece.material()))) {
      const std::vector<Beats>& edges = choice.grid.edges;
      RC_ASSERT(edges.size() >= 2u);
      RC_ASSERT(edges.front() <= score.notes.front().onset);
      RC_ASSERT(edges.back() > score.notes.back().onset);
      RC_ASSERT(edges.back() <= score.bars.all().back().span.end);
      for (std::size_t i = 1; i < edges.size(); ++i) RC_ASSERT(edges[i] > edges[i - 1]);
    }
  }));
}

}  // namespace
}  // namespace arsis
