// Choosing mains on phrases of our own: facts of common practice (no source), and how choices,
// doubt and pattern go together.
#include "draft/mains.h"

#include <gtest/gtest.h>

#include "draft/drafted.h"

namespace arsis::test {
namespace {

std::size_t main_of(const std::string& melody, const std::string& lines,
                    const std::string& left = {}) {
  return phrase(melody, lines, left).mains().phrases.at(0).main;
}

TEST(CommonPractice, ADescendingPhraseLeadsWithItsFirstMotif) {
  EXPECT_EQ(main_of("A5 G5 F5 E5 D5 C5 B4/2", kTwoBars), 0u);
  EXPECT_EQ(main_of("A5 G5 F5 E5 F5 E5 D5 C5 D5 C5 B4/2", kThreeBars), 0u);
  // Over the harmony of its fall.
  EXPECT_EQ(main_of("A5 G5 F5 E5 D5 B4 C5/2", kTwoBars, "F3+A3+C4/4 G3+B3+D4/2 C3+E3+G3/2"), 0u);
}

TEST(CommonPractice, AClimbingPhraseWithACrescendoLeadsWithItsLast) {
  const std::string cresc =
      "dynamics: [{at: 1:1, mark: p}, {from: 1:1, to: 2:5, hairpin: cresc, mark: f}]\n";
  EXPECT_EQ(main_of("C5 D5 E5 F5 G5 A5 B5/2", kTwoBars + cresc), 1u);
  // Though the harmony comes home.
  EXPECT_EQ(main_of("C5 D5 E5 F5 G5 B5 C6/2", kTwoBars + cresc, "F3+A3+C4/4 G3+B3+D4/2 C3+E3+G3/2"),
            1u);
  // Of a level line the crescendo alone decides.
  EXPECT_EQ(main_of("C5 E5 D5/2 C5 E5 D5/2", kTwoBars + cresc), 1u);
  EXPECT_EQ(main_of("C5 D5 E5/2 E5 F5 G5/2 G5 A5 C6/2",
                    kThreeBars + "dynamics: [{at: 1:1, mark: p}, {from: 1:1, to: 3:5, hairpin: "
                                 "cresc, mark: f}]\n"),
            2u);
}

TEST(CommonPractice, ARisingLineUnderADiminuendoWithRelaxingHarmonyLeadsWithItsFirst) {
  const std::string dim =
      "dynamics: [{at: 1:1, mark: f}, {from: 1:1, to: 2:5, hairpin: dim, mark: p}]\n";
  EXPECT_EQ(main_of("D5 E5 F5/2 G5 A5 C6/2", kTwoBars + dim, "G2+B2+F3/4 C3+E3+G3/4"), 0u);
  // So it does for either reason alone.
  EXPECT_EQ(main_of("D5 E5 F5/2 G5 A5 B5/2", kTwoBars + dim), 0u);
  EXPECT_EQ(main_of("B4/2 D5/2 C5/2 E5/2", kTwoBars, "G2+B2+F3/4 C3+E3+G3/4"), 0u);
  // A hairpin of one step is enough.
  const std::string one = "dynamics: [{at: 1:1, mark: mf}, {from: 1:1, to: 2:5, hairpin: dim}]\n";
  EXPECT_EQ(main_of("D5 E5 F5/2 G5 A5 C6/2", kTwoBars + one, "G2+B2+F3/4 C3+E3+G3/4"), 0u);
}

TEST(CommonPractice, ATenutoOnTheLongestNoteWins) {
  const std::string tenuto = kThreeBars + "marks: [{at: 2:2, mark: tenuto}]\n";
  EXPECT_EQ(main_of("E5 D5 E5 D5 C5 D5/3 E5 D5 C5 D5", tenuto), 1u);
  // Either is enough where nothing else speaks.
  EXPECT_EQ(main_of("E5 D5 E5 D5 E5 D5/3 E5 D5 E5 D5", kThreeBars), 1u);
  EXPECT_EQ(main_of("E5 D5 E5 D5 E5 D5 E5 D5 E5 D5 E5 D5", tenuto), 1u);
  // Against a peak a fourth higher.
  EXPECT_EQ(main_of("E5 D5 A5 D5 C5 D5/3 E5 D5 C5 D5", tenuto), 1u);
}

TEST(CommonPractice, OfTwoAlikeAndAThirdGoingOnTheThirdLeads) {
  EXPECT_EQ(main_of("C5 E5 D5/2 C5 E5 D5/2 C5/0.5 D5/0.5 E5 F5 D5", kThreeBars), 2u);
  // In a sequence, too.
  EXPECT_EQ(main_of("C5 E5 D5/2 D5 F5 E5/2 E5/0.5 F5/0.5 G5 A5 B4", kThreeBars), 2u);
}

TEST(CommonPractice, ADissonantMotifOutweighsItsResolution) {
  EXPECT_EQ(main_of("F5/4 E5/4", kTwoBars, "G2+B2+D3/4 C3+E3+G3/4"), 0u);
  // Though the line climbs to its resolution.
  EXPECT_EQ(main_of("B4/2 D5/2 C5/2 E5/2", kTwoBars, "G2+B2+F3/4 C3+E3+G3/4"), 0u);
  // Of the same notes the other way round the second.
  EXPECT_EQ(main_of("E5/4 F5/4", kTwoBars, "C3+E3+G3/4 G2+B2+D3/4"), 1u);
  // An appoggiatura over the chord of its resolution, though the line climbs later.
  EXPECT_EQ(main_of("G5 C#5/2 D5 D5 E5 F5/2", kTwoBars, "D3/1 G3+Bb3+D4/3 D3+F3+A3/4"), 0u);
}

TEST(Choice, ExplainsItself) {
  const Excerpt music = phrase(
      "C5 D5 E5/2 F5 G5 A5/2",
      kTwoBars + "dynamics: [{at: 1:1, mark: p}, {from: 1:1, to: 2:5, hairpin: cresc, mark: f}]\n");
  const Choice choice = music.mains().phrases.at(0);
  ASSERT_EQ(choice.candidates.size(), 2u);
  EXPECT_EQ(choice.main, 1u);
  EXPECT_FALSE(choice.doubtful);
  EXPECT_FALSE(choice.by_pattern);
  EXPECT_NEAR(choice.margin, choice.candidates[1].total - choice.candidates[0].total, 1e-12);
  EXPECT_EQ(choice.candidates[1].of(Feature::kDynamics).words, "the crescendo leads to it");
  EXPECT_EQ(choice.candidates[1].of(Feature::kContour).words, "peak of the phrase (A5 at 2:3)");
}

TEST(Choice, WithoutEvidenceIsInDoubt) {
  const Choice choice = phrase("C5/4 C5/4 C5/4 C5/4",
                               "motif: {length: 1 bar, from: 2:1}\nsentences: [{phrases: [u /]}]\n")
                            .mains()
                            .phrases.at(0);
  EXPECT_TRUE(choice.doubtful);
  EXPECT_EQ(choice.main, 1u);
}

TEST(Choice, OfAMemberAloneIsNone) {
  const Excerpt music = phrase("C5/4 D5/4",
                               "motif: {length: 1 bar, from: 1:1}\n"
                               "sentences: [{phrases: [/, /], main: 1}]\n");
  for (const Choice& choice : music.mains().phrases) {
    EXPECT_EQ(choice.main, 0u);
    EXPECT_EQ(choice.margin, 0.0);
    EXPECT_FALSE(choice.doubtful);
    EXPECT_FALSE(choice.by_pattern);
  }
}

// Two phrases alike, the first with a crescendo, the second bare and by a hair for its first motif.
TEST(Choice, FollowsTheNeighboursPatternWhereTheEvidenceIsSplit) {
  const std::string melody = "C5 E5 D5/2 C5 E5 D5/2 C5 E5 D5/2 C5 E5 D5/2";
  const std::string left = "C3/4 C3/4 C3/4 C3/4";
  const std::string cell = "motif: {length: 1 bar, from: 1:1}\n";
  const std::string lines =
      "dynamics: [{at: 1:1, mark: p}, {from: 1:1, to: 2:5, hairpin: cresc, mark: f}, {at: 3:1, "
      "mark: mf}]\nmarks: [{at: 3:1, mark: portato, part: p2}]\n";
  const Excerpt music =
      phrase(melody, cell + "sentences: [{phrases: [u /, u /], main: 1}]\n" + lines, left);
  const std::vector<Choice> phrases = music.mains().phrases;
  EXPECT_EQ(phrases[0].main, 1u);
  EXPECT_FALSE(phrases[0].by_pattern);
  EXPECT_EQ(phrases[1].main, 1u);
  EXPECT_TRUE(phrases[1].by_pattern);
  EXPECT_TRUE(phrases[1].doubtful);
  EXPECT_LT(phrases[1].margin, 0.0);
  // Without the neighbour its own evidence decides.
  const Excerpt alone = phrase(
      melody, "motif: {length: 1 bar, from: 3:1}\nsentences: [{phrases: [u /]}]\n" + lines, left);
  EXPECT_EQ(alone.mains().phrases[0].main, 0u);
}

const std::string kTwoSentences =
    "motif: {length: 1 bar, from: 1:1}\n"
    "sentences: [{phrases: [u /, u /], main: 1}, {phrases: [u /]}]\n";

TEST(Mains, AreChosenAtEveryLevel) {
  const Excerpt music = phrase("C5/4 C5/4 D5/4 D5/4 C5/4 C5/4",
                               kTwoSentences +
                                   "dynamics: [{at: 1:1, mark: p}, {at: 2:1, mark: mp}, "
                                   "{at: 3:1, mark: f}, {at: 5:1, mark: pp}]\n");
  const Mains mains = music.mains();
  ASSERT_EQ(mains.phrases.size(), 3u);
  ASSERT_EQ(mains.sentences.size(), 2u);
  EXPECT_EQ(mains.phrases[0].main, 1u);
  EXPECT_EQ(mains.sentences[0].main, 1u);
  EXPECT_EQ(mains.sentences[0].candidates.size(), 2u);
  EXPECT_EQ(mains.sentences[1].candidates.size(), 1u);
  ASSERT_TRUE(mains.piece);
  EXPECT_EQ(mains.piece->main, 0u);
  EXPECT_EQ(mains.sentences[0].candidates[1].of(Feature::kContour).words,
            "peak of the sentence (D5 at 3:1)");
}

TEST(Mains, NameNoMainSentenceWithoutClearEvidence) {
  const Excerpt music = phrase("C5/4 C5/4 D5/4 D5/4 C5/4 C5/4", kTwoSentences);
  EXPECT_FALSE(music.mains().piece);
  EXPECT_FALSE(phrase("C5/4 D5/4", kTwoBars).mains().piece) << "a sentence alone";
}

TEST(Structure, IsTakenFromAPlan) {
  const Excerpt music = phrase("C5/4 C5/4 D5/4 D5/4 C5/4 C5/4", kTwoSentences);
  EXPECT_EQ(music.structure.motifs.size(), 6u);
  EXPECT_EQ(music.structure.motifs[1], (Span{{4.0}, {8.0}}));
  EXPECT_EQ(music.structure.phrases, (std::vector<std::uint32_t>{0, 2, 4}));
  EXPECT_EQ(music.structure.sentences, (std::vector<std::uint32_t>{0, 2}));
  EXPECT_EQ(music.structure.cell.length, Beats{4.0});
}

}  // namespace
}  // namespace arsis::test
