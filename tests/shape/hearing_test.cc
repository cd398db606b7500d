// Parts that are left out or silent: the others play as if they were there.
#include <gtest/gtest.h>

#include "shape/bound.h"
#include "shape/perform.h"

namespace arsis {
namespace {

using enum Hearing;

Performance heard(const Score& score, std::vector<Hearing> parts) {
  const BoundPlan plan = test::bound(
      score, "motif: {length: 1 bar, from: 1:1}\nsentences:\n  - {phrases: [/ u], main: 1}\n",
      test::kTwoHands);
  Layers layers;
  layers.parts = std::move(parts);
  return perform(score, plan, layers).performance;
}

// Both hands strike C5 at beat 0 on one channel: the left holds it longer.
Score meeting() {
  Score score = test::two_hands("C5/1 E5/3 D5/4", "C5/2 G3/2 C4/4");
  score.parts[1].channel = 0;
  return score;
}

TEST(Hearing, SoundsBothHandsAsOneWhereTheyMeet) {
  const Performance performance = heard(meeting(), {kHeard, kHeard});
  EXPECT_NE(performance.notes[0].sounds, performance.notes[1].sounds);
}

TEST(Hearing, GivesAKeyBackToTheHandThatIsHeardAlone) {
  const Score shared = meeting();
  Score apart = shared;
  apart.parts[1].channel = 1;
  const Performance alone = heard(apart, {kHeard, kHeard});  // hands that never meet
  ASSERT_NE(alone.notes[0].velocity, alone.notes[1].velocity);
  for (const std::size_t out : {std::size_t{0}, std::size_t{1}}) {
    std::vector<Hearing> parts = {kHeard, kHeard};
    parts[out] = kLeftOut;
    const Performance performance = heard(shared, parts);
    for (std::size_t i = 0; i < shared.notes.size(); ++i) {
      EXPECT_EQ(performance.notes[i].sounds, shared.notes[i].part != out) << i;
    }
    const std::size_t left = 1 - out;  // of the two at beat 0, in order of parts
    EXPECT_EQ(performance.notes[left].velocity, alone.notes[left].velocity);
    EXPECT_DOUBLE_EQ(performance.notes[left].onset.value, alone.notes[left].onset.value);
    EXPECT_DOUBLE_EQ(performance.notes[left].end.value, alone.notes[left].end.value);
  }
}

TEST(Hearing, LetsTheAccompanimentWaitForAMelodyThatIsLeftOut) {
  const Score score = test::two_hands("C5 E5 G5 E5 D5/4", "C4 E4 G4 E4 C4/4");
  const Performance whole = heard(score, {kHeard, kHeard});
  const Performance left = heard(score, {kLeftOut, kHeard});
  bool waits = false;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    if (score.notes[i].part == 0) continue;
    EXPECT_TRUE(left.notes[i].sounds);
    EXPECT_EQ(left.notes[i].onset, whole.notes[i].onset);
    EXPECT_EQ(left.notes[i].velocity, whole.notes[i].velocity);
    waits |= left.notes[i].onset > left.time.seconds_at(score.notes[i].onset) + Seconds{0.001};
  }
  EXPECT_TRUE(waits);
}

TEST(Hearing, PlaysSilentPartsAtVelocityOne) {
  const Score score = test::two_hands("C5 E5 G5 E5 D5/4", "C4 E4 G4 E4 C4/4");
  const Performance whole = heard(score, {kHeard, kHeard});
  const Performance silent = heard(score, {kSilent, kHeard});
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    EXPECT_TRUE(silent.notes[i].sounds);
    EXPECT_EQ(silent.notes[i].onset, whole.notes[i].onset);
    EXPECT_EQ(silent.notes[i].end, whole.notes[i].end);
    if (score.notes[i].part == 0) {
      EXPECT_EQ(silent.notes[i].velocity.value(), 1);
    } else {
      EXPECT_EQ(silent.notes[i].velocity, whole.notes[i].velocity);
    }
  }
}

TEST(Hearing, LeavesAHeardHandItsLevelWhereASilentOneMeetsIt) {
  const Score score = meeting();
  const Performance performance = heard(score, {kSilent, kHeard});
  const PerformedNote& sounding = performance.notes[performance.notes[0].sounds ? 0 : 1];
  EXPECT_GT(sounding.velocity.value(), 1);
}

}  // namespace
}  // namespace arsis
