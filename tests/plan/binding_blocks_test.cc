// Sentences, phrases and motifs laid over a score: where they begin, end and lead.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "plan/plan_text.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::bound_of;
using test::repeated;
using test::score_of;

// "1:3-2:3>2:2* ...": from, to, goal; a star on the main members.
std::string blocks(const BoundPlan& bound, Level level, const Score& score) {
  std::string text;
  const auto at = [&](Beats moment) { return to_string(score.bars.position_of(moment)); };
  for (const Block& block : bound.level(level)) {
    text += (text.empty() ? "" : " ") + at(block.span.begin) + "-" + at(block.span.end) + ">" +
            at(block.goal) + (block.is_main ? "*" : "");
  }
  return text;
}

std::string plan_with(const std::string& cell, const std::string& sentences) {
  return "arsis: 1\nscore: a.mid\nmotif: {" + cell + "}\nsentences: " + sentences + "\n";
}

// Six bars of quarter notes in 3/4, after a pickup of one.
Score waltz() { return score_of(repeated("C5", 19), {3, 4}, Beats{1.0}); }
// Six bars of quarter notes in 4/4.
Score march() { return score_of(repeated("C5", 24)); }

TEST(BindBlocks, LaysEvenMotifsFromUpbeatToUpbeat) {
  const Score score = waltz();
  const BoundPlan bound =
      bound_of(plan_with("length: 1 bar, from: 0:3", "[{phrases: [u /, / u u], main: 2}]"), score);
  EXPECT_EQ(blocks(bound, Level::kMotif, score),
            "0:3-1:3>1:2 1:3-2:3>2:2* 2:3-3:3>3:2* 3:3-4:3>4:2 4:3-5:3>5:2");
  EXPECT_EQ(blocks(bound, Level::kPhrase, score), "0:3-2:3>2:2 2:3-5:3>3:2*");
  EXPECT_EQ(blocks(bound, Level::kSentence, score), "0:3-5:3>3:2");
  EXPECT_TRUE(bound.piece.empty());
}

TEST(BindBlocks, LinksEachBlockWithItsMembers) {
  const Score score = waltz();
  const BoundPlan bound = bound_of(
      plan_with("length: 1 bar, from: 0:3", "[{phrases: [/ u]}, {phrases: [/, u /], main: 2}]"),
      score);
  ASSERT_EQ(bound.sentences.size(), 2u);
  EXPECT_EQ(bound.sentences[1].first, 1u);
  EXPECT_EQ(bound.sentences[1].count, 2u);
  EXPECT_EQ(bound.sentences[1].main, 2u);
  EXPECT_EQ(bound.phrases[2].first, 3u);
  EXPECT_EQ(bound.phrases[2].count, 2u);
  EXPECT_EQ(bound.phrases[2].main, 4u);
  EXPECT_EQ(bound.phrases[2].parent, 1u);
  EXPECT_EQ(bound.motifs[4].parent, 2u);
  EXPECT_EQ(block_name(bound, Level::kMotif, 4), "2.2.2");
  EXPECT_EQ(block_name(bound, Level::kPhrase, 2), "2.2");
  EXPECT_EQ(block_name(bound, Level::kSentence, 1), "2");
  EXPECT_EQ(block_name(bound, Level::kPiece, 0), "piece");
}

TEST(BindBlocks, LeadsThePieceToItsMainSentence) {
  const Score score = waltz();
  const BoundPlan bound = bound_of(
      plan_with("length: 1 bar, from: 0:3", "[{phrases: [u /]}, {phrases: [/ u]}]\nmain: 2"),
      score);
  EXPECT_EQ(blocks(bound, Level::kSentence, score), "0:3-2:3>2:2 2:3-4:3>3:2*");
  EXPECT_EQ(blocks(bound, Level::kPiece, score), "0:3-4:3>3:2");
}

TEST(BindBlocks, ReadsThePickupFromThePlan) {
  const Score score = score_of(repeated("C5", 19), {3, 4});
  const Plan plan =
      test::plan_of(plan_with("length: 1 bar, from: 0:3", "[{phrases: [u /]}]\npickup: 1 beat"));
  const Score counted = with_plan_pickup(score, plan);
  const Result<BoundPlan> bound = bind_plan(plan, counted);
  ASSERT_TRUE(bound);
  EXPECT_EQ(blocks(*bound, Level::kMotif, counted), "0:3-1:3>1:2 1:3-2:3>2:2*");
}

TEST(BindBlocks, TakesTheLongForm) {
  const Score score = march();
  const BoundPlan bound = bound_of(
      plan_with("length: 1 bar, from: 1:4",
                "[{phrases: [{motifs: [u, {to: 3:2}, {length: 3 beats, main: true}, u]}]}]"),
      score);
  EXPECT_EQ(blocks(bound, Level::kMotif, score),
            "1:4-2:4>2:3 2:4-3:2>3:1 3:2-4:1>3:4* 4:1-5:1>4:4");
}

TEST(BindBlocks, NeedsNoCellWhereEveryMotifSaysItsEnd) {
  const Score score = march();
  const BoundPlan bound = bound_of(
      "arsis: 1\nscore: a.mid\n"
      "sentences: [{from: 1:3, phrases: [{motifs: [{to: 2:4}, {to: 4:1, main: true}]}]}]\n",
      score);
  EXPECT_EQ(blocks(bound, Level::kMotif, score), "1:3-2:4>2:3 2:4-4:1>3:4*");
}

TEST(BindBlocks, SetsTheCellAnewInASentence) {
  const Score score = march();
  const BoundPlan bound =
      bound_of(plan_with("length: 1 bar, from: 1:4",
                         "[{phrases: [/]}, {phrases: [u /], length: 1/2 bar}, {phrases: [u /]},"
                         " {phrases: [u /], from: 5:3, length: 2 beats}]"),
               score);
  EXPECT_EQ(blocks(bound, Level::kMotif, score),
            "1:4-2:4>2:3* 2:4-3:2>3:1 3:2-3:4>3:3* 3:4-4:2>4:1 4:2-4:4>4:3* 5:3-6:1>5:4 "
            "6:1-6:5>6:4*");
}

TEST(BindBlocks, RepeatsLengthsAndMainsOfTheSentenceThatAnotherIsLike) {
  const Score score = score_of(repeated("C5", 33));
  const BoundPlan bound = bound_of(
      plan_with("length: 1 bar, from: 1:1",
                "[{phrases: [{motifs: [{to: 1:4}, {to: 2:3, main: true}]}, /], main: 2}, {like: 1},"
                " {like: 2, main: 1}]"),
      score);
  EXPECT_EQ(blocks(bound, Level::kMotif, score),
            "1:1-1:4>1:3 1:4-2:3>2:2* 2:3-3:3>3:2* "
            "3:3-4:2>4:1 4:2-5:1>4:4* 5:1-6:1>5:4* "
            "6:1-6:4>6:3 6:4-7:3>7:2* 7:3-8:3>8:2*");
  EXPECT_EQ(blocks(bound, Level::kPhrase, score),
            "1:1-2:3>2:2 2:3-3:3>3:2* 3:3-5:1>4:4 5:1-6:1>5:4* 6:1-7:3>7:2* 7:3-8:3>8:2");
}

TEST(BindBlocks, RepeatsTheEvenCellOfTheSentenceThatAnotherIsLike) {
  const Score score = waltz();
  const BoundPlan bound = bound_of(
      plan_with("length: 1 bar, from: 0:3", "[{phrases: [u /]}, {like: 1, from: 3:3}]"), score);
  EXPECT_EQ(blocks(bound, Level::kMotif, score),
            "0:3-1:3>1:2 1:3-2:3>2:2* 3:3-4:3>4:2 4:3-5:3>5:2*");
}

TEST(BindBlocks, CutsTheLastEvenMotifAtTheEndOfTheScore) {
  const Score score = march();
  const BoundPlan bound =
      bound_of(plan_with("length: 1 bar, from: 4:4", "[{phrases: [u / u]}]"), score);
  EXPECT_EQ(blocks(bound, Level::kMotif, score), "4:4-5:4>5:3 5:4-6:4>6:3* 6:4-6:5>6:4");
}

TEST(BindBlocks, TakesInWhatIsLeftOfTheLastBar) {
  const Score score = march();
  const BoundPlan bound =
      bound_of(plan_with("length: 1 bar, from: 4:4", "[{phrases: [u /]}]"), score);
  EXPECT_EQ(blocks(bound, Level::kMotif, score), "4:4-5:4>5:3 5:4-6:5>6:4*");
  EXPECT_EQ(blocks(bound, Level::kSentence, score), "4:4-6:5>6:4");
  const BoundPlan told = bound_of(
      plan_with("length: 1 bar, from: 4:4", "[{phrases: [{motifs: [u, {to: 6:4, main: true}]}]}]"),
      score);
  EXPECT_EQ(blocks(told, Level::kMotif, score), "4:4-5:4>5:3 5:4-6:4>6:3*");
}

TEST(BindGoals, LeadToTheArrivalOfTheLastInterval) {
  struct Row {
    const char* what;
    const char* notes;
    const char* motif;
  };
  // One motif from 1:4 to 2:4 in 4/4.
  constexpr Row kRows[] = {
      {"the last note", "r/3 C5 D5 E5 F5 G5", "1:4-2:4>2:3*"},
      {"a long last note", "r/3 C5 D5/3 G5/2", "1:4-2:4>2:1*"},
      {"a rest at the end", "r/3 C5 D5 r/2 G5", "1:4-2:4>2:1*"},
      {"a note held over from before", "r/3 C5/6 G5", "1:4-2:4>1:4*"},
      {"off the beat", "r/3 C5 D5/1.5 E5/1.5 G5/2", "1:4-2:4>2:2.5*"},
      {"an inner voice does not lead", "r/3 C5 G5/3 @5 E4 @8 C5", "1:4-2:4>2:1*"}};
  for (const Row& row : kRows) {
    const Score score = score_of(std::string(row.notes) + " @12 C5");
    const BoundPlan bound =
        bound_of(plan_with("length: 1 bar, from: 1:4", "[{phrases: [/]}]"), score);
    EXPECT_EQ(blocks(bound, Level::kMotif, score), row.motif) << row.what;
  }
}

TEST(BindGoals, AreWhereThePlanSaysThem) {
  const Score score = march();
  // A feminine ending: the goal on the downbeat, the last notes fall away.
  const BoundPlan bound = bound_of(
      plan_with("length: 1 bar, from: 1:4",
                "[{phrases: [{motifs: [{goal: 2:1}, {main: true, goal: 3:1}]}]}, {like: 1}]"),
      score);
  EXPECT_EQ(blocks(bound, Level::kMotif, score),
            "1:4-2:4>2:1 2:4-3:4>3:1* 3:4-4:4>4:3 4:4-5:4>5:3*");
  EXPECT_EQ(blocks(bound, Level::kSentence, score), "1:4-3:4>3:1 3:4-5:4>5:3");
}

TEST(BindGoals, FollowTheMelodyOfThePartsThatHaveIt) {
  const Score score = score_of(
      test::ScoreText{.parts = {"C5/2 D5/2 E5/4", repeated("C3", 8)}, .names = {"right", "left"}});
  const std::string parts =
      "\nparts: [{name: right, role: accompaniment}, {name: left, role: melody}]";
  const std::string plan = plan_with("length: 1 bar, from: 1:3", "[{phrases: [/]}]");
  EXPECT_EQ(blocks(bound_of(plan, score), Level::kMotif, score), "1:3-2:5>2:1*");
  EXPECT_EQ(
      blocks(bound_of(plan_with("length: 1 bar, from: 1:3", "[{phrases: [/]}]" + parts), score),
             Level::kMotif, score),
      "1:3-2:5>2:4*");
}

TEST(BindBlocks, HandsTuningDownFromBlockToBlock) {
  const Score score = score_of(repeated("C5", 28), {3, 4}, Beats{1.0});
  const BoundPlan bound = bound_of(
      plan_with(
          "length: 1 bar, from: 0:3",
          "[{phrases: [{motifs: [u, {main: true, shape: {motif: {depth: 4 dB}}}],"
          " shape: {phrase: {depth: 6 dB}, motif: {depth: 3 dB}}}, u /], main: 1,"
          " shape: {diminuendo: swell}}, {like: 1}]\nshape: {motif: {depth: 2 dB}, keep: bar}"),
      score);
  const auto motif_depth = [&](std::size_t motif) {
    return bound.tunings[bound.motifs[motif].tuning].depth(Level::kMotif).value;
  };
  EXPECT_EQ(bound.tuning().keep, Keep::kBar);
  EXPECT_EQ(bound.tuning().depth(Level::kMotif).value, 2.0);
  EXPECT_EQ(motif_depth(0), 3.0);
  EXPECT_EQ(motif_depth(1), 4.0);
  EXPECT_EQ(motif_depth(2), 2.0);
  EXPECT_EQ(bound.tunings[bound.phrases[0].tuning].depth(Level::kPhrase).value, 6.0);
  EXPECT_EQ(bound.tunings[bound.motifs[1].tuning].diminuendo, Diminuendo::kSwell);
  EXPECT_EQ(bound.tunings[bound.motifs[1].tuning].keep, Keep::kBar);
  EXPECT_EQ(motif_depth(4), 2.0) << "a shape is not repeated by like:";
  EXPECT_EQ(bound.tunings[bound.motifs[4].tuning].diminuendo, Diminuendo::kBroaden);
}

}  // namespace
}  // namespace arsis
