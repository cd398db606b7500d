// Which played note is which note of the score, on music small enough to see it.
#include "take/alignment.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "score_builder.h"
#include "take/disturbed.h"

namespace arsis {
namespace {

using Numbers = std::vector<std::uint32_t>;

// A take of that text, played at its own tempo of 120 quarter notes a minute.
Take take_of_text(const std::string& text) { return *take_of(test::score_of(text)); }

Take take_of_parts(const std::vector<std::string>& parts) {
  test::ScoreText text;
  text.parts = parts;
  return *take_of(test::score_of(text));
}

const std::string kSong = "C5 D5 E5 F5 G5 E5 C5 D5 B4 G4 A4 B4 C5 E5 D5 C5 ";
const std::string kEnding = "F5 A5 G5 F5 E5 G5 F5 E5 D5 F5 E5 D5 C5/4 ";

TEST(Alignment, PairsEachNoteOfATakeThatIsAllRight) {
  const Score score = test::score_of(kSong);
  const Alignment alignment = align(score, take_of_text(kSong));
  ASSERT_EQ(alignment.pairs.size(), 16u);
  for (std::uint32_t i = 0; i < 16; ++i) EXPECT_EQ(alignment.pairs[i], (NotePair{i, i}));
  EXPECT_TRUE(alignment.wrong.empty() && alignment.missing.empty() && alignment.extra.empty());
  EXPECT_TRUE(alignment.earlier.empty() && alignment.omitted.empty());
  ASSERT_EQ(alignment.stretches.size(), 1u);
  EXPECT_EQ(alignment.stretches[0].score, (Span{{0.0}, {16.0}}));
  EXPECT_EQ(alignment.stretches[0].again.length(), Beats{0.0});
  EXPECT_EQ(alignment.fit, 1.0);
}

TEST(Alignment, TellsAWrongNoteFromOneLeftOutAndOneTooMany) {
  const Score score = test::score_of(kSong);
  // The fourth is struck a semitone too high, the seventh is left out, and there is an F sharp
  // between the tenth and the eleventh.
  const Alignment alignment =
      align(score, take_of_text("C5 D5 E5 F#5 G5 E5 r D5 B4 G4/0.5 F#3/0.5 A4 B4 C5 E5 D5 C5"));
  ASSERT_EQ(alignment.wrong.size(), 1u);
  EXPECT_EQ(alignment.wrong[0], (NotePair{3, 3}));
  EXPECT_EQ(alignment.missing, Numbers{6});
  EXPECT_EQ(alignment.extra, Numbers{9});
  EXPECT_EQ(alignment.pairs.size(), 14u);
}

TEST(Alignment, FindsARestartAndCountsWhatWasPlayedLast) {
  const Score score = test::score_of(kSong + kEnding);
  // Stops after ten notes, and goes back to the fifth.
  const Alignment alignment =
      align(score, take_of_text("C5 D5 E5 F5 G5 E5 C5 D5 B4 G4 r/3 G5 E5 C5 D5 B4 G4 A4 B4 C5 E5 "
                                "D5 C5 " +
                                kEnding));
  ASSERT_EQ(alignment.stretches.size(), 2u);
  EXPECT_EQ(alignment.stretches[0].score, (Span{{0.0}, {10.0}}));
  EXPECT_EQ(alignment.stretches[1].score, (Span{{4.0}, {32.0}}));
  EXPECT_EQ(alignment.stretches[0].again.length(), Beats{0.0});
  EXPECT_EQ(alignment.stretches[1].again, (Span{{4.0}, {10.0}}));
  EXPECT_EQ(alignment.stretches[1].first_played, 10u);
  ASSERT_EQ(alignment.earlier.size(), 6u);
  EXPECT_EQ(alignment.earlier.front(), (NotePair{4, 4}));
  EXPECT_EQ(alignment.pairs[4], (NotePair{4, 10}));
  EXPECT_EQ(alignment.pairs.size(), score.notes.size());
  EXPECT_TRUE(alignment.missing.empty() && alignment.extra.empty() && alignment.wrong.empty());
}

TEST(Alignment, FindsARepeatThatTheScoreDoesNotHave) {
  const Score score = test::score_of(kSong + kEnding);
  const Alignment alignment = align(score, take_of_text(kSong + kSong + kEnding));
  ASSERT_EQ(alignment.stretches.size(), 2u);
  EXPECT_EQ(alignment.stretches[1].again, (Span{{0.0}, {16.0}}));
  EXPECT_EQ(alignment.earlier.size(), 16u);
  EXPECT_EQ(alignment.pairs.size(), score.notes.size());
}

TEST(Alignment, FindsThatARepeatIsNotTaken) {
  const Score score = test::score_of(kSong + kSong + kEnding);
  const Take take = take_of_text(kSong + kEnding);
  const Alignment alignment = align(score, take);
  EXPECT_EQ(alignment.pairs.size(), take.notes.size());
  EXPECT_EQ(alignment.omitted.size(), 16u);
  EXPECT_TRUE(alignment.missing.empty() && alignment.extra.empty());
}

TEST(Alignment, TakesAnEndingAloneForTheEnding) {
  const Score score = test::score_of(kSong + kEnding);
  const Alignment alignment = align(score, take_of_text(kEnding));
  ASSERT_EQ(alignment.pairs.size(), 13u);
  EXPECT_EQ(alignment.pairs[0], (NotePair{16, 0}));
  EXPECT_EQ(alignment.omitted.size(), 16u);
  EXPECT_EQ(alignment.stretches[0].score, (Span{{16.0}, {32.0}}));
}

TEST(Alignment, KnowsWhichHandWasPlayed) {
  test::ScoreText text;
  text.parts = {kSong, test::repeated("C3/0.5 G3/0.5 E3/0.5 G3/0.5", 8)};
  const Score score = test::score_of(text);
  const Alignment right = align(score, take_of_text(kSong));
  EXPECT_EQ(right.parts, (std::vector<bool>{true, false}));
  EXPECT_EQ(right.pairs.size(), 16u);
  EXPECT_EQ(right.omitted.size(), 32u);
  EXPECT_TRUE(right.missing.empty());
  const Alignment left = align(score, take_of_text(text.parts[1]));
  EXPECT_EQ(left.parts, (std::vector<bool>{false, true}));
  EXPECT_EQ(left.pairs.size(), 32u);
  const Alignment both = align(score, take_of_parts(text.parts));
  EXPECT_EQ(both.parts, (std::vector<bool>{true, true}));
  EXPECT_EQ(both.pairs.size(), 48u);
}

TEST(Alignment, KnowsAHandOfAScoreInOnePart) {
  test::ScoreText text;
  text.parts = {kSong, test::repeated("C3/0.5 G3/0.5 E3/0.5 G3/0.5", 8)};
  Score score = test::score_of(text);
  score.parts.resize(1);
  for (Note& note : score.notes) note.part = 0;
  const Alignment right = align(score, take_of_text(kSong));
  EXPECT_EQ(right.pairs.size(), 16u);
  EXPECT_EQ(right.omitted.size(), 32u);
  EXPECT_TRUE(right.missing.empty());
  EXPECT_EQ(align(score, take_of_text(text.parts[1])).pairs.size(), 32u);
}

TEST(Alignment, AsksOneStrikeOnlyOfANoteThatBothHandsHave) {
  test::ScoreText text;
  text.parts = {kSong, "C5/4 G4/4 B4/4 C5/4"};
  const Score score = test::score_of(text);
  const Alignment alignment = align(score, take_of_parts({kSong, "r/4 G4/4 r/4 C5/4"}));
  EXPECT_EQ(alignment.doubled.size(), 2u);  // C5 at 0 and B4 at 8; C5 at 12 is struck twice
  EXPECT_TRUE(alignment.missing.empty());
}

TEST(Alignment, LeavesTheNotesOfATrillAsExtra) {
  const Score score = test::score_of(kSong);
  const Alignment alignment = align(
      score, take_of_text("C5 D5 E5 F5 G5/0.25 A5/0.25 G5/0.25 A5/0.25 E5 C5 D5 B4 G4 A4 B4 C5 E5 "
                          "D5 C5"));
  EXPECT_EQ(alignment.extra, (Numbers{5, 6, 7}));
  EXPECT_EQ(alignment.pairs.size(), 16u);
}

TEST(Alignment, PairsRepeatedKeysByTheirTimesWhereOneIsLeftOut) {
  const Score score =
      test::score_of(test::repeated("C4+E4", 3) + test::repeated("C5/0.5", 12) + "D5 E5 F5");
  const Alignment alignment =
      align(score, take_of_text(test::repeated("C4+E4", 3) + test::repeated("C5/0.5", 5) +
                                "r/0.5 " + test::repeated("C5/0.5", 6) + "D5 E5 F5"));
  EXPECT_EQ(alignment.missing, Numbers{11});
}

TEST(Alignment, GivesTheTimeOfEachBeat) {
  const Score score = test::score_of(kSong);
  Take take = take_of_text(kSong);
  for (PlayedNote& note : take.notes) note.onset = note.onset * 1.6 + Seconds{2.0};
  const Alignment alignment = align(score, take);
  ASSERT_EQ(alignment.stretches.size(), 1u);
  const std::vector<TimeMap::Knot>& curve = alignment.stretches[0].curve;
  ASSERT_EQ(curve.size(), 16u);
  for (std::size_t i = 0; i < curve.size(); ++i) {
    EXPECT_EQ(curve[i].beat, Beats{static_cast<double>(i)});
    EXPECT_NEAR(curve[i].second.value, 2.0 + 0.8 * static_cast<double>(i), 1e-9);
  }
}

TEST(Alignment, KnowsATakeOfAnotherPiece) {
  const Score score = test::piano_score(40, 1);
  const Score other = test::piano_score(40, 2);
  const test::Disturbance bad{.noise = {0.02}, .dropped = 0.1, .wrong = 0.1, .added = 0.1};
  const Take same = test::disturbed(score, test::played_plainly(score), bad).take;
  const Take another = test::disturbed(other, test::played_plainly(other), {}).take;
  EXPECT_TRUE(align(score, same).is_same_piece()) << align(score, same).fit;
  EXPECT_FALSE(align(score, another).is_same_piece()) << align(score, another).fit;
}

TEST(Alignment, OfAnEmptyTakeIsEmpty) {
  const Score score = test::score_of(kSong);
  const Alignment alignment = align(score, Take{});
  EXPECT_TRUE(alignment.pairs.empty() && alignment.stretches.empty() && alignment.extra.empty());
  EXPECT_EQ(alignment.omitted.size(), 16u);
  EXPECT_FALSE(alignment.is_same_piece());
}

TEST(Alignment, OfASingleNoteFindsIt) {
  const Score score = test::score_of("C5");
  const Alignment alignment = align(score, take_of_text("C5"));
  EXPECT_EQ(alignment.pairs, (std::vector<NotePair>{{0, 0}}));
}

TEST(NumberedPairs, CountNotesByOnsetThenKey) {
  test::ScoreText text;
  text.parts = {"E5 C5", "C3+G5 E6"};  // by part: E5, C3, G5; by key: C3, E5, G5
  const Score score = test::score_of(text);
  const Alignment alignment = align(score, *take_of(score));
  ASSERT_EQ(alignment.pairs.size(), 5u);
  EXPECT_EQ(alignment.pairs[0], (NotePair{0, 1}));  // E5 is the score's first note
  const auto pairs = numbered_pairs(score, alignment);
  for (std::uint32_t i = 0; i < 5; ++i) EXPECT_EQ(pairs[i], std::pair(i, i));
}

// Source of the figures: computed by hand from the definitions of precision, recall and F measure.
TEST(Agreement, IsTheUsualMeasure) {
  const test::Agreement result = test::agreement(96, 98, 100);
  EXPECT_NEAR(result.precision, 0.97959, 5e-6);
  EXPECT_NEAR(result.recall, 0.96, 1e-12);
  EXPECT_NEAR(result.f1, 0.96970, 5e-6);
}

}  // namespace
}  // namespace arsis
