// Which sentence leads the piece, in performances of our own plans with deeper and shallower arcs.
#include "take/piece_lead.h"

#include <gtest/gtest.h>

#include <vector>

#include "take/own_takes.h"

namespace arsis {
namespace {

using test::compared;
using test::performed;
using test::planned_piece;
using test::PlannedPiece;
using test::take_of_notes;

PlannedPiece with_piece_arc(const char* name, double depth) {
  PlannedPiece piece = planned_piece(name);
  for (Tuning& tuning : piece.plan.tunings) tuning.set(Constant::kPieceDepth, depth);
  return piece;
}

PlannedPiece with_main(PlannedPiece piece, std::uint32_t sentence) {
  Block& whole = piece.plan.piece.front();
  whole.main = sentence;
  whole.goal = piece.plan.sentences[sentence].goal;
  return piece;
}

Lead heard_in(const PlannedPiece& piece, const std::vector<PerformedNote>& notes) {
  return compared(piece, take_of_notes(piece.score, notes)).piece.value();
}

// Half of 1 dB is under what anybody notices.
TEST(PieceLead, IsNotAudibleWithTheDefaultArc) {
  for (const char* name : {"lantern-song", "lantern-song-other", "ferry-study", "mill-round"}) {
    SCOPED_TRACE(name);
    const PlannedPiece piece = planned_piece(name);
    const Lead lead = heard_in(piece, performed(piece));
    EXPECT_EQ(lead.verdict, Verdict::kNotAudible);
    EXPECT_EQ(lead.planned, piece.plan.piece[0].main);
  }
}

TEST(PieceLead, IsHeardWhereTheArcIsDeep) {
  const PlannedPiece piece = with_piece_arc("lantern-song-other", 4.0);
  const std::vector<PerformedNote> notes = performed(piece);
  const Lead own = heard_in(piece, notes);
  EXPECT_EQ(own.verdict, Verdict::kAsPlanned);
  EXPECT_EQ(own.heard, 0u);
  EXPECT_GE(own.by.level->value, 1.0);
  const Lead other = heard_in(with_main(piece, 3), notes);
  EXPECT_EQ(other.verdict, Verdict::kOtherwise);
  EXPECT_EQ(other.planned, 3u);
  EXPECT_EQ(other.heard, 0u);
  EXPECT_EQ(other.against, 3u);
  EXPECT_GE(other.by.level->value, 1.5);
  const Lead uneven = heard_in(piece, test::uneven(notes, 3, 1));
  EXPECT_NE(uneven.verdict, Verdict::kOtherwise);
}

TEST(PieceLead, IsNotHeardInAFlatTake) {
  Layers flat;
  flat.amount = 0.0;
  for (const double depth : {1.0, 4.0}) {
    const PlannedPiece piece = with_piece_arc("lantern-song-other", depth);
    EXPECT_EQ(heard_in(piece, performed(piece, flat)).verdict, Verdict::kNotAudible);
  }
}

TEST(PieceLead, IsNoQuestionWhereThePlanNamesNone) {
  PlannedPiece piece = planned_piece("lantern-song");
  piece.plan.piece.clear();
  EXPECT_FALSE(compared(piece, take_of_notes(piece.score, performed(piece))).piece);
}

TEST(PieceLead, CannotBeToldByTwoSentences) {
  const PlannedPiece piece = with_piece_arc("lantern-song-other", 4.0);
  Take take = take_of_notes(piece.score, performed(piece));
  const Beats end = piece.plan.sentences[1].span.end;
  std::size_t kept = 0;
  while (kept < piece.score.notes.size() && piece.score.notes[kept].onset < end) ++kept;
  take.notes.resize(kept);
  const std::optional<Lead> lead = compared(piece, take).piece;
  ASSERT_TRUE(lead);
  EXPECT_EQ(lead->verdict, Verdict::kCannotTell);
  EXPECT_EQ(compared(piece, Take{}).piece->verdict, Verdict::kCannotTell);
}

}  // namespace
}  // namespace arsis
