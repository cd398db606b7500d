// What each feature says of the members of a phrase, as numbers and as words (common practice, no
// source; our own phrases).
#include "draft/evidence.h"

#include <gtest/gtest.h>

#include "draft/drafted.h"

namespace arsis::test {
namespace {

const std::string kLevel = "C5 C5 C5 C5 ";  // a bar of which the melody says nothing

// A feature alone: its score for the first and the last member, and the words of the one it speaks
// for.
struct Row {
  std::string what;
  std::string melody;
  std::string lines;
  double first = 0.0;
  double last = 0.0;
  std::string words;
};

void expect_rows(const std::vector<Row>& rows, Feature feature) {
  for (const Row& row : rows) {
    SCOPED_TRACE(row.what);
    const std::vector<Candidate> candidates = phrase(row.melody, row.lines).candidates();
    const Finding& first = candidates.front().of(feature);
    const Finding& last = candidates.back().of(feature);
    EXPECT_NEAR(first.score, row.first, 1e-9);
    EXPECT_NEAR(last.score, row.last, 1e-9);
    EXPECT_EQ(first.score > last.score ? first.words : last.words, row.words);
  }
}

TEST(DynamicsEvidence, SpeaksForTheLouderMember) {
  const std::string bars = kLevel + kLevel;
  expect_rows(
      {{"f after p", bars, kTwoBars + "dynamics: [{at: 1:1, mark: p}, {at: 2:1, mark: f}]\n", -1.0,
        1.0, "written louder (f after p)"},
       {"f before p", bars, kTwoBars + "dynamics: [{at: 1:1, mark: f}, {at: 2:1, mark: p}]\n", 1.0,
        -1.0, "written louder (f before p)"},
       {"one mark", bars, kTwoBars + "dynamics: [{at: 1:1, mark: f}]\n", 0.0, 0.0, ""},
       {"none", bars, kTwoBars, 0.0, 0.0, ""}},
      Feature::kDynamics);
}

TEST(DynamicsEvidence, FollowsTheWayAHairpinGoes) {
  const std::string marks = kThreeBars + "dynamics: [{at: 1:1, mark: mf}, ";
  expect_rows(
      {{"a crescendo leads to the last", kLevel + kLevel + kLevel,
        marks + "{from: 1:1, to: 3:5, hairpin: cresc}]\n", -1.0, 0.5, "the crescendo leads to it"},
       {"a diminuendo leads away from the first", kLevel + kLevel + kLevel,
        marks + "{from: 1:1, to: 3:5, hairpin: dim}]\n", 0.5, -1.0,
        "the diminuendo leads away from it"}},
      Feature::kDynamics);
}

TEST(DynamicsEvidence, SaysWhatAHairpinDoesToTheSofterMember) {
  const Excerpt falling = phrase(kLevel + kLevel, kTwoBars +
                                                      "dynamics: [{at: 1:1, mark: f}, {from: 1:1, "
                                                      "to: 2:5, hairpin: dim, mark: p}]\n");
  EXPECT_EQ(words_of_member(falling, Feature::kDynamics, 1), "diminuendo through it");
  const Excerpt rising = phrase(kLevel + kLevel, kTwoBars +
                                                     "dynamics: [{at: 1:1, mark: p}, {from: 1:1, "
                                                     "to: 2:5, hairpin: cresc, mark: f}]\n");
  EXPECT_EQ(words_of_member(rising, Feature::kDynamics, 0), "the crescendo goes on after it");
}

TEST(DynamicsEvidence, CitesOnlyMarksThatHoldThroughAMember) {
  const Excerpt music =
      phrase(kLevel + kLevel, kTwoBars +
                                  "dynamics: [{at: 1:1, mark: p}, {at: 1:3, mark: mf}, {at: 2:1, "
                                  "mark: f}]\n");  // not "f after mp"
  EXPECT_EQ(words_of_member(music, Feature::kDynamics, 1), "written louder");
}

TEST(DynamicsEvidence, TakesAHairpinThatOnlyBeginsForLittle) {
  const Excerpt music =
      phrase(kLevel + kLevel, kTwoBars +
                                  "dynamics: [{at: 1:1, mark: mf}, {from: 2:4, to: 2:5, hairpin: "
                                  "cresc}]\n");
  const double score = score_of_member(music, Feature::kDynamics, 1);
  EXPECT_GT(score, 0.0);
  EXPECT_LE(score,
            0.126);  // half of a full lead where it covers half of the phrase: an eighth here
}

TEST(DynamicsEvidence, WithoutWrittenDynamicsHearsTheVelocities) {
  // 64 to 80 is 3.88 dB, over a step of 3.75 dB.
  expect_rows({{"louder", "C5/4!64 C5/4!80", kTwoBars, -1.0, 1.0, "played louder in the score"},
               {"as good as equal", "C5/4!64 C5/4!66", kTwoBars, 0.0, 0.0, ""}},
              Feature::kDynamics);
}

TEST(DynamicsEvidence, ReadsTheMelodysOwnDynamics) {
  const std::string lines = kTwoBars +
                            "dynamics: [{at: 1:1, mark: p, part: p1}, {at: 2:1, mark: f, part: "
                            "p1}, {at: 1:1, mark: f, part: p2}, {at: 2:1, mark: p, part: p2}]\n";
  const Excerpt music = phrase(kLevel + kLevel, lines, "C3/4 C3/4");
  EXPECT_EQ(score_of_member(music, Feature::kDynamics, 1), 1.0);
}

TEST(ArticulationEvidence, SpeaksForTheStrongestMark) {
  const std::string bars = kLevel + kLevel;
  expect_rows(
      {{"a tenuto", bars, kTwoBars + "marks: [{at: 2:1, mark: tenuto}]\n", -0.6, 0.6,
        "tenuto on C5 at 2:1"},
       {"an sf beside an accent", bars,
        kTwoBars + "marks: [{at: 1:3, mark: sf}, {at: 2:1, mark: accent}]\n", 0.3, -0.3,
        "sforzando on C5 at 1:3"},
       {"two accents beside one", bars,
        kTwoBars + "marks: [{at: 1:1, mark: accent}, {from: 2:1, to: 2:2, mark: accent}]\n", -0.1,
        0.1, "accent on C5 at 2:1"},
       {"staccato and a fermata", bars,
        kTwoBars + "marks: [{from: 1:1, to: 1:4, mark: staccato}, {at: 2:4, mark: fermata}]\n", 0.0,
        0.0, ""}},
      Feature::kArticulation);
}

TEST(ArticulationEvidence, CountsAMarkUnderTheMelodyHalf) {
  const Excerpt music = phrase(
      kLevel + kLevel, kTwoBars + "marks: [{at: 2:1, mark: accent, part: p2}]\n", "C3/4 C3/4");
  EXPECT_NEAR(score_of_member(music, Feature::kArticulation, 1), 0.35, 1e-9);
  EXPECT_EQ(words_of_member(music, Feature::kArticulation, 1), "accent on C3 at 2:1");
}

TEST(HarmonyEvidence, SpeaksForTensionBeforeItsResolution) {
  const Excerpt music = phrase("D5/4 C5/4", kTwoBars, "G2+B2+F3/4 C3+E3+G3/4");
  EXPECT_GT(score_of_member(music, Feature::kHarmony, 0), 0.9);
  EXPECT_LT(score_of_member(music, Feature::kHarmony, 1), -0.9);
  EXPECT_EQ(words_of_member(music, Feature::kHarmony, 0),
            "tenser harmony (G, B, D, F at 1:1), resolved after it");
}

TEST(HarmonyEvidence, NamesTheAppoggiatura) {
  const Excerpt music = phrase("C5/4 F5/2 E5/2", kTwoBars, "C3+E3+G3/4 C3+E3+G3/4");
  EXPECT_GT(score_of_member(music, Feature::kHarmony, 1), 0.5);
  EXPECT_EQ(words_of_member(music, Feature::kHarmony, 1),
            "F over E on the beat, resolving by step (2:1)");
  const Excerpt tied = phrase("E5/2 F5/4 E5/2", kTwoBars, "C3+A3/4 C3+E3+G3/4");
  EXPECT_EQ(words_of_member(tied, Feature::kHarmony, 1),
            "suspended F over E on the beat, resolving by step (2:1)");
}

TEST(HarmonyEvidence, SaysNothingOfOneChord) {
  const Excerpt music = phrase("C5/4 C5/4", kTwoBars, "C3+E3+G3/4 C3+E3+G3/4");
  EXPECT_EQ(score_of_member(music, Feature::kHarmony, 0), 0.0);
  EXPECT_EQ(words_of_member(music, Feature::kHarmony, 0), "");
}

TEST(ContourEvidence, NamesThePeak) {
  const Excerpt music = phrase("C5 D5 E5 D5 C5 G5 D5 C5", kTwoBars);
  EXPECT_GT(score_of_member(music, Feature::kContour, 1), 0.25);
  EXPECT_EQ(words_of_member(music, Feature::kContour, 1), "peak of the phrase (G5 at 2:2)");
  EXPECT_EQ(music.mains().sentences.size(), 1u);
}

TEST(ContourEvidence, FollowsTheWayTheLineGoes) {
  EXPECT_GT(score_of_member(phrase("G5 F5 E5 D5 C5 B4 A4 G4", kTwoBars), Feature::kContour, 0),
            0.5);
  EXPECT_GT(score_of_member(phrase("G4 A4 B4 C5 D5 E5 F5 G5", kTwoBars), Feature::kContour, 1),
            0.5);
  const Excerpt falling = phrase("G5 G5 G5 E5 G5 D5 C5 B4", kTwoBars);
  EXPECT_EQ(words_of_member(falling, Feature::kContour, 0), "the line falls from it");
  const Excerpt climbing = phrase("B4 C5 D5 G5 E5 G5 G5 G5", kTwoBars);
  EXPECT_EQ(words_of_member(climbing, Feature::kContour, 1), "the line climbs to it");
}

TEST(ContourEvidence, SaysNothingOfALevelLine) {
  const Excerpt music =
      phrase("C5/4 " + kLevel + kLevel,
             "motif: {length: 1 bar, from: 2:1}\nsentences: [{phrases: [u /]}]\n");
  EXPECT_NEAR(score_of_member(music, Feature::kContour, 1), 0.0, 1e-4);
  EXPECT_EQ(words_of_member(music, Feature::kContour, 1), "");
}

TEST(ContourEvidence, SpeaksAgainstAMemberWithoutMelody) {
  const Excerpt music = phrase("C5 D5 E5 D5 r/4", kTwoBars, "C3/4 C3/4");
  EXPECT_LT(score_of_member(music, Feature::kContour, 1), -0.5);
}

TEST(RhythmEvidence, NamesTheLongestNote) {
  const Excerpt music = phrase("C5/3 C5 C5 C5 C5 C5", kTwoBars);
  EXPECT_NEAR(score_of_member(music, Feature::kRhythm, 0), 0.92, 0.005);  // 1.8 s against 0.6 s
  EXPECT_EQ(words_of_member(music, Feature::kRhythm, 0), "longest note (C5 at 1:1, 3 beats)");
}

TEST(RhythmEvidence, TakesALongEndForHalf) {
  const double lead = score_of_member(phrase("C5/3 C5 C5 C5 C5 C5", kTwoBars), Feature::kRhythm, 0);
  const double end = score_of_member(phrase("C5 C5 C5 C5 C5 C5/3", kTwoBars), Feature::kRhythm, 1);
  EXPECT_NEAR(end, lead / 2.0, 1e-9);
}

TEST(RhythmEvidence, TakesARestForNoLength) {
  EXPECT_EQ(score_of_member(phrase("C5 r/3 C5 C5 C5 C5", kTwoBars), Feature::kRhythm, 0), 0.0);
}

TEST(RepetitionEvidence, SpeaksForTheThirdThatGoesOnAfterTwoAlike) {
  const Excerpt music = phrase("C5 E5 D5/2 D5 F5 E5/2 E5 A5/0.5 G5/0.5 F5 B4", kThreeBars);
  EXPECT_GT(score_of_member(music, Feature::kRepetition, 2), 0.5);
  EXPECT_LT(score_of_member(music, Feature::kRepetition, 0), -0.5);
  EXPECT_EQ(words_of_member(music, Feature::kRepetition, 2), "goes on after two alike");
}

TEST(RepetitionEvidence, SaysNothingElsewhere) {
  const auto third = [](const std::string& melody) {
    return score_of_member(phrase(melody, kThreeBars), Feature::kRepetition, 2);
  };
  EXPECT_EQ(third("C5 E5 D5/2 D5 F5 E5/2 E5 G5 F5/2"), 0.0);             // three alike
  EXPECT_EQ(third("C5 E5 D5/2 A5/0.5 G5/0.5 F5 B4/2 C5 E5 D5/2"), 0.0);  // the second differs
  EXPECT_EQ(score_of_member(phrase("C5 E5 D5/2 D5 F5 E5/2", kTwoBars), Feature::kRepetition, 1),
            0.0);
}

TEST(Evidence, SumsTheFeaturesByTheirWeights) {
  const Excerpt music =
      phrase("C5/3 D5 E5 F5 G5/2", kTwoBars +
                                       "dynamics: [{at: 1:1, mark: p}, {at: 2:1, mark: f}]\n"
                                       "marks: [{at: 2:2, mark: tenuto}]\n");
  for (const Candidate& candidate : music.candidates()) {
    double sum = 0.0;
    for (const FeatureWeight& entry : kFeatureWeights) {
      sum += entry.weight * candidate.of(entry.feature).score;
    }
    EXPECT_NEAR(candidate.total, sum, 1e-12);
  }
}

}  // namespace
}  // namespace arsis::test
