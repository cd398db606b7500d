// Nested arcs at a moment: blocks, losses, layers, amounts, and the energy that pictures show.
#include "shape/energy.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "shape/bound.h"

namespace arsis {
namespace {

// Two sentences with a bar in none between them; depths 1, 2 and 4 dB, so that each level is told
// from the sum. Goals: motifs on their fourth quarters, the first sentence's at beat 7.
BoundPlan two_sentences() {
  const Score score = test::score_of(test::repeated("C5 D5 E5 F5", 8));
  return test::bound(score,
                     "motif: {length: 1 bar, from: 1:1}\n"
                     "sentences:\n  - {phrases: [u /, u /], main: 1}\n"
                     "  - {phrases: [/, u], main: 1, from: 6:1, shape: {motif: {depth: 8 dB}}}\n"
                     "shape: {motif: {depth: 1 dB}, phrase: {depth: 2 dB}, sentence: {depth: 4 dB}}"
                     "\n");
}

const BoundPlan& plan() {
  static const BoundPlan bound = two_sentences();
  return bound;
}

ArcLoss loss_at(double beat, const Layers& layers = {}) {
  BlockFinder finder(plan());
  return arc_loss(plan(), finder.at({beat}), {beat}, layers);
}

TEST(BlockFinder, FindsTheBlocksOfMomentsInAnyOrder) {
  BlockFinder finder(plan());
  for (const double beat : {31.0, 0.0, 15.99, 4.0, 16.0, 20.0, 27.5, 3.9, 24.0, 16.5}) {
    SCOPED_TRACE(beat);
    const HoldingBlocks blocks = finder.at({beat});
    for (const Level level : {Level::kMotif, Level::kPhrase, Level::kSentence}) {
      const Block* expected = nullptr;
      for (const Block& block : plan().level(level)) {
        if (block.span.holds({beat})) expected = &block;
      }
      EXPECT_EQ(blocks[index_of(level)], expected);
    }
    EXPECT_EQ(blocks[index_of(Level::kPiece)], nullptr);
  }
}

TEST(ArcLoss, IsNoneAtTheGoalOfAllLevelsAndAllAtTheirCommonEdge) {
  EXPECT_EQ(loss_at(7.0).loss.value, 0.0);
  EXPECT_EQ(loss_at(7.0).deepest.value, 7.0);
  EXPECT_EQ(loss_at(7.0).energy(), 1.0);
  EXPECT_EQ(loss_at(0.0).loss.value, 7.0);
  EXPECT_EQ(loss_at(0.0).energy(), 0.0);
}

TEST(ArcLoss, SumsTheLevelsWeightedByTheirDepths) {
  // Beat 5 of the first sentence: motif [4, 8) and phrase [0, 8) and sentence [0, 16), goal 7.
  const double motif = 4.0 / 9.0;    // ((7 - 5) / (7 - 4))^2
  const double phrase = 4.0 / 49.0;  // ((7 - 5) / 7)^2, of the sentence too
  EXPECT_NEAR(loss_at(5.0).loss.value, motif + 6.0 * phrase, 1e-12);
  EXPECT_NEAR(loss_at(5.0).energy(), 1.0 - (motif + 6.0 * phrase) / 7.0, 1e-12);
  // After the goal: ((12 - 7) / (16 - 7))^2 of the sentence; a phrase and a motif begin at 12 - 4.
  const double fallen = 16.0 / 81.0;  // at beat 11
  EXPECT_NEAR(loss_at(11.0).loss.value, 0.0 + 2.0 * (16.0 / 49.0) + 4.0 * fallen, 1e-12);
}

TEST(ArcLoss, TakesEachLevelsDepthFromItsOwnBlock) {
  // The second sentence's motifs are 8 dB deep; at its edge all is lost.
  EXPECT_EQ(loss_at(20.0).loss.value, 14.0);
}

TEST(ArcLoss, IsNoneOutsideAllBlocks) {
  EXPECT_EQ(loss_at(18.0).deepest.value, 0.0);
  EXPECT_EQ(loss_at(18.0).loss.value, 0.0);
  EXPECT_EQ(loss_at(18.0).energy(), 1.0);
}

TEST(ArcLoss, HearsTheLayersThatAreAskedFor) {
  const double whole = loss_at(5.0).loss.value;
  double sum = 0.0;
  for (const Level level : kEveryLevel) {
    Layers alone;
    alone.heard.fill(false);
    alone.heard[index_of(level)] = true;
    sum += loss_at(5.0, alone).loss.value;
    Layers without;
    without.heard[index_of(level)] = false;
    EXPECT_NEAR(loss_at(5.0, without).loss.value + loss_at(5.0, alone).loss.value, whole, 1e-12);
  }
  EXPECT_NEAR(sum, whole, 1e-12);
}

TEST(ArcLoss, ScalesWithTheAmountWhileItsEnergyStays) {
  for (const double amount : {0.5, 2.0}) {
    Layers layers;
    layers.amount = amount;
    EXPECT_NEAR(loss_at(5.0, layers).loss.value, amount * loss_at(5.0).loss.value, 1e-12);
    EXPECT_NEAR(loss_at(5.0, layers).energy(), loss_at(5.0).energy(), 1e-12);
  }
}

TEST(Slowing, SumsTheLevelsByTheirShares) {
  BlockFinder finder(plan());
  // The table's 1.5, 5 and 4 %, at beat 5 as above.
  EXPECT_NEAR(slowing_at(plan(), finder.at({5.0}), {5.0}, {}),
              0.015 * 4.0 / 9.0 + 0.09 * 4.0 / 49.0, 1e-12);
  EXPECT_NEAR(slowing_at(plan(), finder.at({0.0}), {0.0}, {}), 0.105, 1e-12);
  EXPECT_EQ(slowing_at(plan(), finder.at({18.0}), {18.0}, {}), 0.0);
}

TEST(TuningAt, IsThatOfTheInnermostBlockOrThePieces) {
  BlockFinder finder(plan());
  const auto motif_depth = [&](double beat) {
    return tuning_at(plan(), finder.at({beat})).depth(Level::kMotif).value;
  };
  EXPECT_EQ(motif_depth(1.0), 1.0);
  EXPECT_EQ(motif_depth(21.0), 8.0);
  EXPECT_EQ(motif_depth(17.0), 1.0);
}

}  // namespace
}  // namespace arsis
