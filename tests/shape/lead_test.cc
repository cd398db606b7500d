// Melody lead against the published travel times of a piano's hammers.
#include "shape/lead.h"

#include <gtest/gtest.h>

#include <string>

#include "shape/bound.h"
#include "shape/perform.h"

namespace arsis {
namespace {

Velocity v(int velocity) { return Velocity::clamped(velocity); }

const std::string kFlatPlan =
    "dynamics: [{at: 1:1, mark: f}]\nmotif: {length: 1 bar, from: 1:1}\n"
    "sentences: [{phrases: [/], main: 1}]\n";

// The touch alone, so that a quarter note lasts half a second.
Layers unshaped() {
  Layers layers;
  layers.amount = 0.0;
  return layers;
}

TEST(MelodyLead, HasTheValuesOfThePublishedLaw) {
  // Source: Goebl 2001, JASA 110(1); Goebl & Bresin 2003, JASA 114(4) (formulas from memory; values
  // computed).
  EXPECT_NEAR(melody_lead(v(90), v(64)).value * 1e3, 24.85, 0.01);
  EXPECT_NEAR(melody_lead(v(77), v(52)).value * 1e3, 29.10, 0.01);
  EXPECT_NEAR(melody_lead(v(80), v(60)).value * 1e3, 21.29, 0.01);
}

TEST(MelodyLead, IsNoneAtEqualLevelAndBehindALouderAccompaniment) {
  for (int velocity = 1; velocity <= 127; ++velocity) {
    EXPECT_EQ(melody_lead(v(velocity), v(velocity)).value, 0.0);
    EXPECT_EQ(melody_lead(v(velocity), v(127)).value, 0.0);
  }
}

TEST(MelodyLead, IsTwentyToThirtyFiveMillisecondsForTwentyFiveUnits) {
  // The range of velocities in which pianists play a melody over an accompaniment.
  for (int melody = 70; melody <= 100; ++melody) {
    const double lead = melody_lead(v(melody), v(melody - 25)).value;
    EXPECT_GE(lead, 0.017) << melody;
    EXPECT_LE(lead, 0.035) << melody;
  }
  EXPECT_GE(melody_lead(v(90), v(65)).value, 0.020);
}

TEST(MelodyLead, GrowsWithTheDifference) {
  for (int melody = 20; melody <= 127; ++melody) {
    for (int other = 2; other <= melody; ++other) {
      EXPECT_GT(melody_lead(v(melody), v(other - 1)), melody_lead(v(melody), v(other)));
    }
  }
}

TEST(MelodyLead, DelaysWhatAccompaniesAndLeavesTheMelodyOnItsBeat) {
  // A bar of waltz: bass and melody together, chords alone, a chord with the melody.
  test::ScoreText text;
  text.parts = {"C6/2 E6", "C3 E4+G4 E4+G4"};
  text.signatures = {{{0.0}, {3, 4}}};
  const Score score = test::score_of(text);
  const Shaped shaped = perform(score, test::bound(score, kFlatPlan, test::kTwoHands), unshaped());
  const Velocity melody = velocity_at({-5.982});
  const Velocity accompaniment = velocity_at({-5.982 - 6.0});
  const double lead = melody_lead(melody, accompaniment).value;
  EXPECT_GT(lead, 0.015);
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const Note& note = score.notes[i];
    const bool waits = note.part == 1 && note.onset.value != 1.0;
    EXPECT_NEAR(shaped.performance.notes[i].onset.value,
                note.onset.value * 0.5 + (waits ? lead : 0.0), 1e-9)
        << i;
  }
}

TEST(MelodyLead, IsAtMostItsLongestAndHalfTheNote) {
  const Score score = test::two_hands("C6 D6 E6 F6", "C3/0.0625 @1 E3 G3 C3");
  const auto late = [&](const std::string& shape, std::size_t note) {
    const BoundPlan plan = test::bound(score, kFlatPlan + shape, test::kTwoHands);
    return perform(score, plan, unshaped()).performance.notes[note].onset.value -
           score.notes[note].onset.value * 0.5;
  };
  EXPECT_NEAR(late("shape: {touch: {lead: 300 %}}\n", 3), 0.040, 1e-9);
  EXPECT_NEAR(late("shape: {touch: {lead: 300 %, longest-lead: 25 ms}}\n", 3), 0.025, 1e-9);
  EXPECT_NEAR(late("shape: {touch: {lead: 0 %}}\n", 3), 0.0, 1e-9);
  EXPECT_NEAR(late("", 1), 0.0625 * 0.5 / 2.0, 1e-9);  // of a note of 31 ms
}

TEST(Arpeggio, RollsTheChordFromItsLowestNoteWhichStaysOnTheBeat) {
  const Score score = test::score_of("C4+E4+G4+C5 C4+E4+G4 C4 D4+F4/0.1");
  const auto onsets = [&](const std::string& marks, bool touch = true) {
    Layers layers = unshaped();
    layers.touch = touch;
    const BoundPlan plan = test::bound(score, kFlatPlan + marks);
    std::string text;
    for (const PerformedNote& note : perform(score, plan, layers).performance.notes) {
      text += short_number(note.onset.value, 4) + " ";
    }
    return text;
  };
  const std::string all = "marks: [{from: 1:1, to: 1:4, mark: arpeggio}]\n";
  // 35 ms from note to note; a third of a note of 50 ms.
  EXPECT_EQ(onsets(all), "0 0.035 0.07 0.105 0.5 0.535 0.57 1 1.5 1.5167 ");
  EXPECT_EQ(onsets(all + "shape: {touch: {arpeggio: 100 ms}}\n"),
            "0 0.0533 0.1067 0.16 0.5 0.58 0.66 1 1.5 1.5167 ");
  EXPECT_EQ(onsets(all, false), "0 0 0 0 0.5 0.5 0.5 1 1.5 1.5 ");
  EXPECT_EQ(onsets("marks: [{at: 1:2, mark: arpeggio}]\n"), "0 0 0 0 0.5 0.535 0.57 1 1.5 1.5 ");
}

TEST(MelodyLead, DoesNotStrikeASharedKeyTwice) {
  // Both hands on one channel, as in a piano's file of one channel, meeting on middle C.
  Score score = test::two_hands("C4 D4 E4 F4", "C4/2 G3/2");
  score.parts[1].channel = score.parts[0].channel;
  const BoundPlan plan = test::bound(score, kFlatPlan, test::kTwoHands);
  const Shaped shaped = perform(score, plan, unshaped());
  const PerformedNote& right = shaped.performance.notes[0];
  const PerformedNote& left = shaped.performance.notes[1];
  ASSERT_TRUE(right.sounds);
  EXPECT_FALSE(left.sounds);
  EXPECT_EQ(right.onset.value, 0.0);
  EXPECT_EQ(right.velocity.value(), 90);
  EXPECT_GE(right.end.value, 1.0 - 1e-9);  // as long as the longer of the two
}

}  // namespace
}  // namespace arsis
