// Structures of whole pieces: what they group, why they say so, and what else could be.
#include "draft/grouping.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "draft/drafting.h"

namespace arsis {
namespace {

using test::Piece;
using test::repeated;
using test::score_of;
using test::starts_of;

// The best structure of a piece: where its phrases begin, sentences with a bar before them.
std::string best_of(const Piece& piece, StructureWishes wishes = {}) {
  const std::vector<ScoredStructure> found = structures(piece.material(), wishes);
  if (found.empty()) return "none";
  const Structure& structure = found.front().structure;
  std::string text;
  for (std::size_t i = 0; i < structure.phrases.size(); ++i) {
    const bool is_sentence = std::ranges::binary_search(structure.sentences, i);
    const Beats at = structure.motifs[structure.phrases[i]].begin;
    text += (is_sentence ? "| " : "") + to_string(piece.score.bars.position_of(at)) + " ";
  }
  return text;
}

TEST(Grouping, MakesTwosWhereNothingSaysOtherwise) {
  EXPECT_EQ(best_of(Piece(score_of(repeated("C5", 32)))), "| 1:1 3:1 | 5:1 7:1 ");
  EXPECT_EQ(best_of(Piece(score_of(repeated("C5", 48)))), "| 1:1 3:1 | 5:1 7:1 | 9:1 11:1 ");
}

TEST(Grouping, FollowsTheMusic) {
  // Bars of quarters that end in a half or a whole note.
  const std::string go = "E5 D5 E5 F5 ";
  const std::string turn = "G5 F5 E5 D5 ";
  const std::string halt = "C5/4 ";
  struct Row {
    const char* what;
    std::string notes;
    const char* blocks;
  };
  const Row rows[] = {
      {"phrases of three",
       go + turn + halt + go + turn + halt + go + turn + halt + go + turn + halt,
       "| 1:1 4:1 | 7:1 10:1 "},
      {"phrases of two", go + halt + go + halt + turn + halt + turn + halt, "| 1:1 3:1 | 5:1 7:1 "},
      {"three phrases, twice",
       go + halt + turn + halt + "A5 G5/.5 A5/.5 B5 A5 " + "G5/4 " + go + halt + turn + halt +
           "A5 G5/.5 A5/.5 B5 A5 " + "G5/4 ",
       "| 1:1 3:1 5:1 | 7:1 9:1 11:1 "}};
  for (const Row& row : rows)
    EXPECT_EQ(best_of(Piece(score_of(row.notes))), row.blocks) << row.what;
}

TEST(Grouping, FollowsWhatIsPrinted) {
  Piece slurred(score_of(repeated("C5", 48)));
  slurred.printed.slurs = {{0, 11}, {12, 23}, {24, 35}, {36, 47}};  // three bars each
  EXPECT_EQ(best_of(slurred), "| 1:1 4:1 | 7:1 10:1 ");
  Piece breathing(score_of(repeated("C5", 40)));
  breathing.bound.breaths = {{{24.0}, {true}, {}}};  // after bar 6
  EXPECT_EQ(best_of(breathing), "| 1:1 3:1 5:1 | 7:1 9:1 ");
  Piece modulating(score_of(repeated("C5", 40)));
  modulating.score.keys = {{{0.0}, 0, false}, {{24.0}, 1, false}};
  EXPECT_EQ(best_of(modulating), "| 1:1 3:1 5:1 | 7:1 9:1 ");
}

TEST(Grouping, FindsSomethingForEveryLength) {
  for (int bars = 2; bars <= 30; ++bars) {
    const Piece piece(score_of(repeated("C5 D5 E5 F5", bars)));
    const std::vector<ScoredStructure> found = structures(piece.material(), {});
    ASSERT_EQ(found.size(), 1u) << bars;
    EXPECT_EQ(found[0].structure.motifs.size(), static_cast<std::size_t>(bars));
  }
  EXPECT_EQ(best_of(Piece(score_of("r/4"))), "none");
  EXPECT_EQ(best_of(Piece(score_of("C5"))), "| 1:1 ");
}

TEST(Grouping, KeepsTheCellThatThePlayerKnows) {
  const Piece piece(score_of(repeated("C5 D5 E5 F5", 8)));
  StructureWishes wishes;
  wishes.cell = Cell{{4.0}, {3.0}};
  EXPECT_EQ(best_of(piece, wishes), "| 1:4 3:4 5:4 ");
  wishes.cell = Cell{{2.0}, {0.0}};
  EXPECT_EQ(best_of(piece, wishes), "| 1:1 2:1 | 3:1 4:1 | 5:1 6:1 | 7:1 8:1 ");
  wishes.cell = Cell{{4.0}, {100.0}};
  EXPECT_EQ(best_of(piece, wishes), "none");
}

TEST(Grouping, SaysWhatSpeaksForEachPhrase) {
  const Piece piece(
      score_of("E5 D5 C5 r E5 D5 C5/2 E5 D5 C5 r E5 D5 C5/2 "
               "G5/1.5 F5/.5 E5 D5 F5/1.5 E5/.5 D5 C5 E5 D5 C5 r E5 D5 C5/2 "));
  const ScoredStructure best = structures(piece.material(), {}).front();
  ASSERT_EQ(best.phrase_words.size(), 4u);
  EXPECT_EQ(best.cell_words,
            "from the bar line, as the piece begins, a clear boundary before 5 of 7 motifs");
  EXPECT_EQ(best.phrase_words[0], "the piece begins");
  EXPECT_EQ(best.phrase_words[1], "long note before it, comes home before it, same as 1:1");
  EXPECT_EQ(best.phrase_words[3], "same as 1:1");
  EXPECT_TRUE(best.instead.empty());
}

TEST(Grouping, OffersWhatElseCouldBe) {
  const Piece piece(score_of(repeated("C5 D5 E5 F5", 10)));
  StructureWishes wishes;
  wishes.count = 3;
  const std::vector<ScoredStructure> found = structures(piece.material(), wishes);
  ASSERT_EQ(found.size(), 3u);
  for (std::size_t i = 1; i < found.size(); ++i) {
    EXPECT_LE(found[i].total, found[i - 1].total);
    EXPECT_FALSE(found[i].instead.empty());
    for (std::size_t k = 0; k < i; ++k) {
      EXPECT_FALSE(found[i].structure.phrases == found[k].structure.phrases &&
                   found[i].structure.sentences == found[k].structure.sentences &&
                   found[i].structure.motifs == found[k].structure.motifs);
    }
  }
  EXPECT_TRUE(found[1].instead[0].starts_with("begins a sentence at ")) << found[1].instead[0];
}

}  // namespace
}  // namespace arsis
