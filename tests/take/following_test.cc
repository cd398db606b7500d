// The coarse half: where in the score is the player?
#include "take/following.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "score_builder.h"
#include "take/disturbed.h"

namespace arsis {
namespace {

std::vector<std::uint32_t> moments_of_steps(const Score& score, const std::string& take) {
  const Moments moments = moments_of(score);
  std::vector<std::uint32_t> places;
  for (const Step& step : follow(moments, take_of(test::score_of(take))->notes)) {
    places.push_back(step.moment);
  }
  return places;
}

using Places = std::vector<std::uint32_t>;

TEST(Moments, GatherTheNotesOfABeat) {
  test::ScoreText text;
  text.parts = {"E5 D5/2", "C3+G3/2 C3+E5"};
  const Score score = test::score_of(text);
  const Moments moments = moments_of(score);
  ASSERT_EQ(moments.all.size(), 3u);
  EXPECT_EQ(moments.all[0].keys.size(), 3);
  EXPECT_EQ(moments.notes_of(moments.all[0]).front(), 1u);  // C3, the lowest
  EXPECT_EQ(moments.all[2].beat, Beats{2.0});
  EXPECT_EQ(moments.with_key[48], (Places{0, 2}));
  // Of the notes by onset, part and key, those of the right hand.
  EXPECT_EQ(moments_of(score, {true, false, false, true, false, false}).all.size(), 2u);
}

TEST(Following, GoesNoteByNote) {
  const Score score = test::score_of("C5 D5 E5 F5 G5 A5");
  EXPECT_EQ(moments_of_steps(score, "C5 D5 E5 F5 G5 A5"), (Places{0, 1, 2, 3, 4, 5}));
}

TEST(Following, TakesTheNotesOfAChordInAnyOrderAndLate) {
  const Score score = test::score_of("C5+E5+G5 D5 E5 F5 G5 A5");
  EXPECT_EQ(moments_of_steps(score, "G5/0.05 C5/0.05 E5/0.9 D5 E5 F5"), (Places{0, 0, 0, 1, 2, 3}));
  // The low C comes after the D.
  const Score low = test::score_of("C4+E5 D5/0.25 E5/0.25 F5 G5 A5");
  EXPECT_EQ(moments_of_steps(low, "E5 D5/0.125 C4/0.125 E5/0.25 F5 G5 A5"),
            (Places{0, 1, 0, 2, 3, 4, 5}));
}

TEST(Following, PassesByWhatIsLeftOutAndWhatIsTooMany) {
  const Score score = test::score_of("C5 D5 E5 F5 G5 A5 B5 C6");
  EXPECT_EQ(moments_of_steps(score, "C5 D5 r F5 G5/0.5 C#4/0.5 A5 B5 C6"),
            (Places{0, 1, 3, 4, 5, 6, 7}));
}

TEST(Following, BeginsWhereThePlayerDoes) {
  const Score score = test::score_of("C5 D5 E5 F5 G5 A5 F5 D5 E5 C5");
  EXPECT_EQ(moments_of_steps(score, "G5 A5 F5 D5 E5 C5"), (Places{4, 5, 6, 7, 8, 9}));
}

TEST(Following, SaysWhereItJumped) {
  const Score score = test::score_of("C5 D5 E5 F5 G5 A5 F5 D5 E5 C5 B4 G4 A4 B4 C5");
  const Moments moments = moments_of(score);
  const Take take =
      *take_of(test::score_of("C5 D5 E5 F5 G5 A5 F5 r E5 F5 G5 A5 F5 D5 E5 C5 B4 G4 A4 B4 C5"));
  const std::vector<Step> steps = follow(moments, take.notes);
  ASSERT_EQ(steps.size(), take.notes.size());
  for (std::size_t i = 1; i < steps.size(); ++i) EXPECT_EQ(steps[i].jumped, i == 7) << i;
  EXPECT_EQ(steps[7].moment, 2u);
}

TEST(Following, OfNothingIsNothing) {
  EXPECT_TRUE(follow(moments_of(test::score_of("C5")), {}).empty());
  EXPECT_TRUE(follow(Moments{}, std::vector<PlayedNote>{PlayedNote{}}).empty());
}

}  // namespace
}  // namespace arsis
