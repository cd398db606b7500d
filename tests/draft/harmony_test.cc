// What sounds together, how tense it is, and where the melody rubs; the key of each bar.
#include "draft/harmony.h"

#include <gtest/gtest.h>

#include <numeric>
#include <string>
#include <vector>

#include "score/melody.h"
#include "score_builder.h"

namespace arsis::test {
namespace {

Score two_lines(const std::string& melody, const std::string& left) {
  ScoreText text;
  text.parts = {melody, left};
  return score_of(text);
}

Harmony harmony_over(const std::string& melody, const std::string& left) {
  const Score score = two_lines(melody, left);
  return harmony_of(score, melody_line(score, {true, false}));
}

PitchSet chord(const std::vector<int>& keys) {
  return std::accumulate(keys.begin(), keys.end(), PitchSet{0}, with_key);
}

TEST(Harmony, HoldsWhatSoundsAtEachMoment) {
  const Harmony harmony = harmony_over("C5/2 D5/2", "C3+E3/4");
  ASSERT_EQ(harmony.moments.size(), 2u);
  EXPECT_EQ(harmony.moments[0].sounding, chord({0, 4}));
  EXPECT_EQ(harmony.moments[1].sounding, chord({0, 2, 4}));
  EXPECT_EQ(harmony.moments[1].bass, key_of("C3"));
}

TEST(Harmony, TakesALegatoForNoChord) {
  // C5 reaches an eighth's part into D5.
  const Harmony harmony = harmony_over("@0 C5/1.125 @1 D5/1", "r/4");
  EXPECT_EQ(harmony.moments[1].sounding, chord({2}));
  const Harmony left = harmony_over("r/4", "@0 C3/1.0625 @1 D3/1");
  EXPECT_EQ(left.moments[1].sounding, chord({2}));
}

TEST(Harmony, LetsBrokenChordsRingThroughTheirBeat) {
  const Harmony harmony = harmony_over("C5/4", "C3/0.5 G3/0.5 E3/0.5 G3/0.5");
  EXPECT_EQ(harmony.moments[1].sounding, chord({0, 7}));
  EXPECT_EQ(harmony.moments[2].sounding, chord({0, 4}));  // C from above, the left hand's gone
  const Harmony scale = harmony_over("r/4", "C3/0.5 D3/0.5");
  EXPECT_EQ(scale.moments[1].sounding, chord({2}));
  const Harmony chords = harmony_over("r/4", "C3/0.5 G3+B3+F4/0.5");
  EXPECT_EQ(chords.moments[1].sounding, chord({7, 11, 5}));
}

TEST(Harmony, LeavesOutPercussionAndGraceNotes) {
  Score score = two_lines("C5/4", "D3/4");
  const std::vector<std::size_t> melody = {0};
  EXPECT_EQ(harmony_of(score, melody).moments[0].sounding, chord({0, 2}));
  score.notes[1].grace = true;
  EXPECT_EQ(harmony_of(score, melody).moments[0].sounding, chord({0}));
  score.notes[1].grace = false;
  score.parts[1].channel = kDrumChannel;
  EXPECT_EQ(harmony_of(score, melody).moments[0].sounding, chord({0}));
}

TEST(Harmony, IsTenserOnTheDominantThanAtHome) {
  const Harmony harmony = harmony_over("C5/4 D5/4 C5/4 C5/4", "C3+E3+G3/4 G2+B2+F3/4 C3+E3+G3/4");
  EXPECT_EQ(harmony.keys[0], (Tonality{0, false}));
  EXPECT_GT(harmony.moments[1].tension, harmony.moments[0].tension + 0.3);
  EXPECT_EQ(harmony.moments[2].tension, harmony.moments[0].tension);
}

TEST(Harmony, FindsAppoggiaturasOnTheBeat) {
  const Harmony harmony = harmony_over("F5/2 E5/2", "C3+E3+G3/4");
  ASSERT_EQ(harmony.dissonances.size(), 1u);
  EXPECT_EQ(harmony.dissonances[0].at, Beats{0.0});
  EXPECT_EQ(harmony.dissonances[0].weight, 1.0);
  EXPECT_EQ(harmony.dissonances[0].dissonance.kind, DissonanceKind::kAppoggiatura);
  EXPECT_EQ(harmony.dissonances[0].dissonance.over, key_of("E3"));
}

TEST(Harmony, FindsSuspensionsStruckAnewOrTiedOver) {
  const Harmony anew = harmony_over("F5/4 F5/2 E5/2", "F3+A3/4 C3+E3+G3/4");
  ASSERT_EQ(anew.dissonances.size(), 1u);
  EXPECT_EQ(anew.dissonances[0].dissonance.kind, DissonanceKind::kSuspension);
  const Harmony tied = harmony_over("r/2 F5/4 E5/2", "F3+A3/4 C3+E3+G3/4");
  ASSERT_EQ(tied.dissonances.size(), 1u);
  EXPECT_EQ(tied.dissonances[0].at, Beats{4.0});
  EXPECT_EQ(tied.dissonances[0].weight, 1.0);
  EXPECT_EQ(tied.dissonances[0].dissonance.kind, DissonanceKind::kSuspension);
}

TEST(Harmony, FindsNoDissonanceInPassingOrUnresolved) {
  EXPECT_TRUE(harmony_over("C5/0.5 D5/0.5 E5/3", "C3+E3+G3/4").dissonances.empty());
  EXPECT_TRUE(harmony_over("F5/2 C5/2", "C3+E3+G3/4").dissonances.empty());
  // What it rubs against has gone before it moves.
  EXPECT_TRUE(harmony_over("F5/2 E5/2", "C3+E3+G3/1").dissonances.empty());
  // What is held already is no new rub because an inner note is struck on the beat.
  EXPECT_TRUE(harmony_over("E5/1.5 D5/1.5 C5", "C3/4 @2 G3/2").dissonances.empty());
  // Between the beats, however strong beside its successor.
  EXPECT_TRUE(harmony_over("E5/0.5 F5/0.25 E5/0.25 E5/3", "C3+E3+G3/4").dissonances.empty());
}

TEST(LocalKeys, FollowTheMusic) {
  const std::string home = "C5 E5 G5 C5 F5 A5 G5 E5 D5 F5 B4 D5 C5 E5 C5/2 ";
  const std::string away = "D5 F#5 A5 D5 G5 B5 A5 F#5 E5 G5 C#5 E5 D5 F#5 D5/2 ";
  const Score score = score_of(home + away);
  const std::vector<Tonality> keys = local_keys(score);
  ASSERT_EQ(keys.size(), 8u);
  EXPECT_EQ(keys.front(), (Tonality{0, false}));
  EXPECT_EQ(keys.back(), (Tonality{2, false}));
}

TEST(LocalKeys, LeanOnTheKeySignatureWhereTheNotesLeaveItOpen) {
  Score score = score_of("C5 D5 E5 F5 G5 A5 B5 C6");  // C major or A minor by a hair
  EXPECT_EQ(local_keys(score)[0], (Tonality{0, false}));
  score = score_of("E5 G5 B5 E5 E5 G5 B5 E5");  // E minor, of one sharp
  score.keys.push_back({{0.0}, 1, true});
  EXPECT_EQ(local_keys(score)[0], (Tonality{4, true}));
  score = score_of("C5 E5 G5 C5 C5 E5 G5 C5");
  const Tonality without = local_keys(score)[0];
  score.keys.push_back({{0.0}, -1, false});
  EXPECT_EQ(without, (Tonality{0, false}));
  EXPECT_EQ(local_keys(score)[0], without) << "a signature does not outweigh a plain triad";
}

// Four minor keys fit a diminished seventh chord alike.
TEST(LocalKeys, MoveWithTheMusicWhereSeveralFitAlike) {
  Score score = score_of("C4+Eb4+Gb4+A4/4");
  const Tonality home = local_keys(score)[0];
  for (int shift = 1; shift < 12; ++shift) {
    for (Note& note : score.notes) ++note.key;
    EXPECT_EQ(local_keys(score)[0], (Tonality{(home.tonic + shift) % 12, home.minor})) << shift;
  }
}

TEST(LocalKeys, OfSilenceAreSomething) { EXPECT_EQ(local_keys(score_of("r/8")).size(), 1u); }

}  // namespace
}  // namespace arsis::test
