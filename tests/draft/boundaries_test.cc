// What speaks for the beginning of a block at a moment: each cue alone, and what it is called.
#include "draft/boundaries.h"

#include <gtest/gtest.h>

#include <string>

#include "draft/cadence.h"
#include "draft/drafting.h"

namespace arsis {
namespace {

using test::Piece;
using test::repeated;
using test::score_of;

std::string words_at(const Piece& piece, Beats at, Beats upbeat = {0.0}) {
  return words_of(cues_at(survey_boundaries(piece.material()), at, upbeat));
}

double cue_at(const Piece& piece, Cue cue, Beats at, Beats upbeat = {0.0}) {
  return cue_of(cues_at(survey_boundaries(piece.material()), at, upbeat), cue);
}

// Two bars of quarters on one key: the line itself says nothing.
Piece even_line() { return Piece(score_of(repeated("C5", 8))); }

TEST(Boundaries, AreNoneInAnEvenLine) {
  const Piece piece = even_line();
  for (double at = 0.0; at <= 8.0; at += 1.0) EXPECT_EQ(words_at(piece, {at}), "") << at;
}

TEST(Boundaries, LieAfterRestsAndLongNotes) {
  const Piece rest(score_of("C5 C5 C5 r C5 C5 C5 D5"));
  EXPECT_GT(cue_at(rest, Cue::kRest, {4.0}), 0.8);
  EXPECT_EQ(words_at(rest, {4.0}), "rest before it, long note before it");
  EXPECT_EQ(words_at(rest, {2.0}), "");
  const Piece held(score_of("C5 C5 C5/2 C5 C5 C5 D5"));
  EXPECT_EQ(cue_at(held, Cue::kRest, {4.0}), 0.0);
  EXPECT_EQ(words_at(held, {4.0}), "long note before it");
}

TEST(Boundaries, TakeAShortGapForNone) {
  // Notes that end a tenth early, as programs write them when they export.
  const Piece piece(score_of("C5/.9 @1 C5/.9 @2 C5/.9 @3 C5/.9 @4 C5/.9 @5 C5/.9"));
  for (double at = 1.0; at < 6.0; at += 1.0) EXPECT_EQ(words_at(piece, {at}), "") << at;
}

TEST(Boundaries, LieAtALeapOutOfSteps) {
  const Piece piece(score_of("C4 D4 E4 D4 D5 C5 B4 C5"));
  EXPECT_GT(cue_at(piece, Cue::kLeap, {4.0}), 0.7);
  EXPECT_EQ(cue_at(piece, Cue::kLeap, {3.0}), 0.0);
}

TEST(Boundaries, DoNotCutANote) {
  const Piece piece(score_of("C5 C5 C5 C5/2 C5 C5 C5"));
  EXPECT_EQ(words_at(piece, {4.0}), "cuts a held note");
  EXPECT_LT(strength(cues_at(survey_boundaries(piece.material()), {4.0}, {})), -0.8);
}

TEST(Boundaries, WaitForTheNextNote) {
  const Piece piece(score_of("C5 C5 C5 C5 r C5 C5 C5"));
  EXPECT_GT(cue_at(piece, Cue::kRest, {4.0}), 0.3);
  EXPECT_LT(cue_at(piece, Cue::kRest, {4.0}), cue_at(piece, Cue::kRest, {5.0}));
}

TEST(Boundaries, LieAtEndsOfSlursAndNotWithinThem) {
  Piece piece = even_line();
  piece.printed.slurs = {{0, 3}, {4, 7}};
  EXPECT_EQ(words_at(piece, {4.0}), "slur ends before it");
  for (const double at : {1.0, 2.0, 3.0, 5.0, 6.0, 7.0}) {
    EXPECT_EQ(words_at(piece, {at}), "cuts a slur") << at;
  }
}

TEST(Boundaries, LieAfterFermatasAndBreaths) {
  Piece piece = even_line();
  piece.bound.fermatas = {{{{2.0}, {3.0}}}};
  piece.bound.breaths = {{{6.0}, {true}, {}}};
  EXPECT_EQ(words_at(piece, {3.0}), "fermata before it");
  EXPECT_EQ(words_at(piece, {6.0}), "breath mark before it");
  piece.bound.breaths = {{{6.0}, {false}, {}}};  // another part breathes
  EXPECT_EQ(words_at(piece, {6.0}), "");
}

TEST(Boundaries, FollowTheDynamicsOfTheMelody) {
  Piece piece = even_line();
  piece.bound.dynamics = {{{{0.0}, {0.0}, 0, 0}, {{4.0}, {4.0}, 2, 2}, {{6.0}, {7.0}, 2, 1, true}}};
  EXPECT_EQ(cue_at(piece, Cue::kDynamics, {4.0}), 1.0);
  EXPECT_EQ(cue_at(piece, Cue::kDynamics, {6.0}), 0.5);
  EXPECT_EQ(cue_at(piece, Cue::kDynamics, {5.0}), 0.0);
  EXPECT_EQ(words_at(piece, {3.0}, {1.0}),
            "the dynamics change with it");  // printed at the bar line
}

TEST(Boundaries, LieAtNewKeysAndTimeSignatures) {
  test::ScoreText text;
  text.parts = {repeated("C5", 8)};
  text.signatures = {{{0.0}, {4, 4}}, {{4.0}, {2, 4}}};
  Piece piece(score_of(text));
  EXPECT_EQ(words_at(piece, {4.0}), "new time signature");
  EXPECT_EQ(words_at(piece, {3.0}, {1.0}), "new time signature");
  EXPECT_EQ(words_at(piece, {2.0}, {1.0}), "");
  piece.score.keys = {{{0.0}, 0, false}, {{6.0}, 2, false}, {{7.0}, 2, false}};
  EXPECT_EQ(words_at(piece, {6.0}), "new key");
  EXPECT_EQ(words_at(piece, {7.0}), "");
}

TEST(Boundaries, LieAfterCadences) {
  struct Row {
    const char* what;
    const char* melody;
    const char* bass;
    double strength;
  };
  const Row rows[] = {
      {"a fifth down to a long note", "D5 D5 B4 D5 C5/4 C5 C5", "G3/4 C3/4 C3/2", 1.0},
      {"a fourth up", "D5 D5 B4 D5 C5/4 C5 C5", "G2/4 C3/4 C3/2", 1.0},
      {"a step", "D5 D5 B4 D5 C5/4 C5 C5", "B2/4 C3/4 C3/2", 0.4},
      {"a third is none", "D5 D5 B4 D5 C5/4 C5 C5", "E3/4 C3/4 C3/2", 0.0},
      {"no close on a dissonance", "D5 D5 B4 D5 D5/4 C5 C5", "G2/4 C3/4 C3/2", 0.0},
      {"no close on a short note", "D5/2 B4 D5 C5/.5 C5/2 C5/1.5 C5 C5", "G2/4 C3/4 C3/2", 0.0},
      {"none on a weak beat", "D5/2 B4 B4 r C5/3 C5 C5", "G2/5 C3/3 C3/2", 0.0}};
  for (const Row& row : rows) {
    test::ScoreText text;
    text.parts = {row.melody, row.bass};
    const Piece piece(score_of(text));
    double strongest = 0.0;
    for (const double at : cadences(piece.score, survey_boundaries(piece.material()).line, {1.2})) {
      strongest = std::max(strongest, at);
    }
    EXPECT_DOUBLE_EQ(strongest, row.strength) << row.what;
  }
}

TEST(Boundaries, ComeHomeToTheLastNote) {
  const Piece piece(score_of("E5 D5 C5/2 E5 D5 B4/2 E5 D5 C5/2"));
  EXPECT_GT(cue_at(piece, Cue::kHome, {4.0}), 0.3);
  EXPECT_EQ(cue_at(piece, Cue::kHome, {8.0}), 0.0);
}

TEST(Boundaries, AreAskedForOutsideThePieceToo) {
  const Piece piece = even_line();
  for (const double at : {-5.0, 0.0, 8.0, 1e6}) EXPECT_EQ(words_at(piece, {at}), "") << at;
  const Piece silent(score_of("r/4"));
  EXPECT_EQ(words_at(silent, {1.0}), "");
}

}  // namespace
}  // namespace arsis
