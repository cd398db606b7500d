#include "take/heard.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "take/own_takes.h"

namespace arsis {
namespace {

// It is struck when and as loud as the right one was meant to be.
TEST(Hear, TakesAWrongKeyForTheRightOne) {
  const test::PlannedPiece piece = test::planned_piece("ferry-study");
  Take take = test::take_of_notes(piece.score, test::performed(piece));
  const std::size_t written = piece.plan.melody[40];
  const Alignment right = align(piece.score, take);
  const auto pair = std::ranges::find(right.pairs, written, &NotePair::score);
  ASSERT_NE(pair, right.pairs.end());
  PlayedNote& slip = take.notes[pair->played];
  slip.key = static_cast<std::uint8_t>(slip.key + 1);
  slip.velocity = Velocity::clamped(101);
  const Alignment wrong = align(piece.score, take);
  ASSERT_EQ(wrong.wrong.size(), 1u);
  const Heard heard = hear(piece.score, piece.plan, take, wrong, {});
  ASSERT_EQ(heard.melody.size(), piece.plan.melody.size());
  EXPECT_EQ(heard.melody[40].note, written);
  EXPECT_EQ(heard.melody[40].level, level_of(Velocity::clamped(101)));
  EXPECT_TRUE(std::ranges::is_sorted(heard.melody, {}, &HeardNote::at));
}

// A step of the velocity is twice as many decibels at half of it (40 / ln 10 over v).
TEST(Hear, KnowsThatSoftNotesErrMore) {
  const test::PlannedPiece piece = test::planned_piece("mill-round");
  std::vector<PerformedNote> notes = test::performed(piece);
  const std::size_t soft = piece.plan.melody[0];
  const std::size_t loud = piece.plan.melody[1];
  notes[soft].velocity = Velocity::clamped(32);
  notes[loud].velocity = Velocity::clamped(64);
  const Take take = test::take_of_notes(piece.score, notes);
  const Heard heard = hear(piece.score, piece.plan, take, align(piece.score, take), {});
  EXPECT_DOUBLE_EQ(heard.melody[0].error, 2.0);
  EXPECT_DOUBLE_EQ(heard.melody[1].error, 1.0);
}

}  // namespace
}  // namespace arsis
