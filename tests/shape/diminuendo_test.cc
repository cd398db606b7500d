// Growth inside a written diminuendo: held down in loudness, heard as time.
#include "shape/diminuendo.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "shape/bound.h"
#include "shape/energy.h"
#include "shape/perform.h"
#include "shape/time.h"
#include "shape/time_grid.h"

namespace arsis {
namespace {

// Bars of quarter notes; a phrase that grows to its last motif.
constexpr const char* kGrowing =
    "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u u u /], main: 1}]\n";

Score four_bars() { return test::score_of(test::repeated("C5 D5 E5 F5", 4)); }

Shaped play(const std::string& dynamics, const std::string& shape) {
  const Score score = four_bars();
  return perform(score,
                 test::bound(score, dynamics + kGrowing + "shape: {keep: off, " + shape + "}\n"));
}

constexpr const char* kThreeBars =
    "dynamics:\n  - {at: 1:1, mark: f}\n  - {from: 1:1, to: 4:1, hairpin: dim}\n";
constexpr std::size_t kLastInside = 12;  // the note at 4:1

double interval(const Shaped& shaped, std::size_t after) {
  return (shaped.performance.notes[after].onset - shaped.performance.notes[after - 1].onset).value;
}

TEST(Diminuendo, HoldsTheLevelDownAndTurnsItsRiseIntoTime) {
  const Shaped broadened = play(kThreeBars, "diminuendo: broaden");
  const Shaped swelling = play(kThreeBars, "diminuendo: swell");
  bool swells = false;
  for (std::size_t i = 1; i <= kLastInside; ++i) {
    EXPECT_LE(broadened.levels[i].arc_level, broadened.levels[i - 1].arc_level) << i;
    swells = swells || swelling.levels[i].arc_level > swelling.levels[i - 1].arc_level;
    EXPECT_LE(swelling.levels[i].arc_level, swelling.levels[i].ceiling);
  }
  EXPECT_TRUE(swells);
  const auto length = [](const Shaped& shaped) {
    return (shaped.performance.notes[kLastInside].onset - shaped.performance.notes[0].onset).value;
  };
  EXPECT_GT(length(broadened), 1.025 * length(swelling));  // more than a listener needs to notice
}

TEST(Diminuendo, EndsWithItsHairpin) {
  const Shaped broadened = play(kThreeBars, "diminuendo: broaden");
  const Shaped swelling = play(kThreeBars, "diminuendo: swell");
  for (std::size_t i = kLastInside + 1; i < broadened.levels.size(); ++i) {
    EXPECT_EQ(broadened.levels[i].arc_level, swelling.levels[i].arc_level) << i;
    EXPECT_NEAR(interval(broadened, i), interval(swelling, i), 1e-9) << i;  // the first one too
  }
}

TEST(Diminuendo, IsOneWhereTwoHairpinsMeet) {
  // One long hairpin, and the same line printed as two that meet: the same performance.
  const Shaped whole = play(
      "dynamics:\n  - {at: 1:1, mark: f}\n  - {from: 1:1, to: 4:1, hairpin: dim, mark: mp}\n", "");
  for (const char* middle : {"", "  - {at: 2:3, mark: mf}\n"}) {
    SCOPED_TRACE(middle);
    const Shaped two = play(std::string("dynamics:\n  - {at: 1:1, mark: f}\n"
                                        "  - {from: 1:1, to: 2:3, hairpin: dim, mark: mf}\n") +
                                middle + "  - {from: 2:3, to: 4:1, hairpin: dim, mark: mp}\n",
                            "");
    for (std::size_t i = 1; i <= kLastInside; ++i) {
      EXPECT_NEAR(two.levels[i].arc_level.value, whole.levels[i].arc_level.value, 1e-9) << i;
      EXPECT_NEAR(interval(two, i), interval(whole, i), 1e-9) << i;
    }
  }
}

TEST(Diminuendo, BeginsAnewAtALouderMark) {
  const Shaped shaped = play(
      "dynamics:\n  - {at: 1:1, mark: f}\n  - {from: 1:1, to: 2:1, hairpin: dim, mark: p}\n"
      "  - {at: 2:1, mark: f}\n  - {from: 2:1, to: 3:1, hairpin: dim, mark: p}\n",
      "");
  const Decibels lost = shaped.levels[4].ceiling - shaped.levels[4].arc_level;
  EXPECT_NEAR(shaped.levels[4].ceiling.value, -5.982, 1e-9);
  EXPECT_LT(lost.value, 7.5 + 1e-9);  // what the arcs take at most: nothing of the first hairpin
  EXPECT_GT(shaped.levels[4].arc_level, shaped.levels[3].arc_level);
}

TEST(Diminuendo, LeavesALouderMarkAtItsEndAlone) {
  const Shaped shaped = play(
      "dynamics:\n  - {at: 1:1, mark: f}\n  - {from: 1:1, to: 4:4, hairpin: dim, mark: p}\n"
      "  - {at: 4:4, mark: ff}\n",
      "");
  // The mark stands on the goal of all levels.
  EXPECT_NEAR(shaped.levels[15].arc_level.value, -2.982, 1e-9);
  EXPECT_LE(shaped.levels[14].arc_level, shaped.levels[13].arc_level);
}

TEST(Diminuendo, ThatEndsLouderThanItBeginsWithholdsNothing) {
  // The reader of plans warns of it; at amount 0 it must not be heard as broadening.
  const std::string wrong =
      "dynamics:\n  - {at: 1:1, mark: p}\n  - {from: 1:1, to: 4:1, hairpin: dim, mark: f}\n";
  const Score score = four_bars();
  Layers flat;
  flat.amount = 0.0;
  const Shaped shaped = perform(score, test::bound(score, wrong + kGrowing), flat);
  for (std::size_t i = 0; i < shaped.levels.size(); ++i) {
    EXPECT_EQ(shaped.levels[i].arc_level, shaped.levels[i].ceiling) << i;
    EXPECT_NEAR(shaped.performance.notes[i].onset.value, 0.5 * static_cast<double>(i), 1e-9) << i;
  }
}

TEST(Diminuendo, SwellsInTheBlockThatAsksForIt) {
  const Score score = four_bars();
  const std::string plan = "motif: {length: 1 bar, from: 1:1}\nsentences:\n";
  const auto levels = [&](const char* shape) {
    return perform(score, test::bound(score, kThreeBars + plan + "  - {phrases: [u /], main: 1" +
                                                 shape + "}\n" + "  - {phrases: [u /], main: 1}\n"))
        .levels;
  };
  const std::vector<NoteLevel> held = levels("");
  const std::vector<NoteLevel> swelling = levels(", shape: {diminuendo: swell}");
  bool swells = false;
  for (std::size_t i = 1; i < 8; ++i) {
    swells = swells || swelling[i].arc_level > swelling[i - 1].arc_level;
    EXPECT_GE(swelling[i].arc_level, held[i].arc_level);
  }
  EXPECT_TRUE(swells);
  for (std::size_t i = 9; i <= kLastInside; ++i) {
    EXPECT_LE(swelling[i].arc_level, swelling[i - 1].arc_level);  // the second sentence is held
  }
}

TEST(Diminuendo, OfALineThatNoPartFollowsIsNotHeard) {
  // Both hands have dynamics of their own: the common hairpin is nobody's.
  const Score score = test::two_hands(test::repeated("C5 D5 E5 F5", 4), test::repeated("C3/4", 4));
  const std::string own =
      "  - {at: 1:1, mark: f, part: r}\n  - {at: 1:1, mark: p, part: l}\n"
      "  - {from: 1:2, to: 4:4, hairpin: cresc, part: r}\n"
      "  - {from: 1:2, to: 4:4, hairpin: cresc, part: l}\n";
  const auto seconds = [&](const std::string& common) {
    const BoundPlan plan = test::bound(
        score,
        "dynamics:\n  - {at: 1:1, mark: f}\n" + common + own + kGrowing + "shape: {keep: off}\n",
        test::kTwoHands);
    return perform(score, plan).performance.time.seconds_at({16.0}).value;
  };
  EXPECT_NEAR(seconds("  - {from: 1:3, to: 4:1, hairpin: dim}\n"), seconds(""), 1e-9);
}

TEST(Diminuendo, FollowsEachPartsOwnLine) {
  const Score score = test::two_hands(test::repeated("C5 D5 E5 F5", 4), test::repeated("C3/4", 4));
  const BoundPlan plan = test::bound(score,
                                     std::string("dynamics:\n  - {at: 1:1, mark: f}\n"
                                                 "  - {from: 1:1, to: 4:1, hairpin: dim, part: l}"
                                                 "\n") +
                                         kGrowing,
                                     test::kTwoHands);
  const Shaped shaped = perform(score, plan);
  bool grows = false;
  Decibels right{-100.0};
  Decibels left{100.0};
  for (std::size_t i = 0; i < score.notes.size() && score.notes[i].onset.value <= 12.0; ++i) {
    const Decibels level = shaped.levels[i].arc_level;
    if (score.notes[i].part == 0) {
      grows = grows || level > right;
      EXPECT_NEAR(shaped.levels[i].ceiling.value, -5.982, 1e-9);
      right = level;
    } else {
      EXPECT_LE(level.value, left.value + 1e-12);
      left = level;
    }
  }
  EXPECT_TRUE(grows);
}

TEST(Withheld, InterpolatesBetweenItsSamplesAndIsNoughtOutside) {
  const Withheld withheld({{{1.0}, {0.0}}, {{2.0}, {2.0}}, {{3.0}, {0.0}}});
  EXPECT_EQ(withheld.at({0.5}).value, 0.0);
  EXPECT_EQ(withheld.at({1.5}).value, 1.0);
  EXPECT_EQ(withheld.at({2.0}).value, 2.0);
  EXPECT_EQ(withheld.at({4.0}).value, 0.0);
  EXPECT_EQ(Withheld().at({1.0}).value, 0.0);
}

TEST(Withheld, IsTheRiseOverTheRunningMinimum) {
  // Without a fall of the ceiling worth the name (f to mf over 3 bars) the arcs rise over it.
  const Score score = four_bars();
  const BoundPlan plan = test::bound(score, std::string(kThreeBars) + kGrowing);
  const std::vector<Beats> grid = time_grid(score, plan);
  const DynamicCurves curves = dynamic_curves(score, plan, grid, {});
  const Shaped free = perform(score, test::bound(score, std::string(kThreeBars) + kGrowing +
                                                            "shape: {diminuendo: swell}\n"));
  // At note 11 (3:4) the phrase has grown: the lowest level before it is withheld from.
  double lowest = 1e9;
  for (const Beats at : grid) {
    if (at.value > 11.0) break;
    BlockFinder finder(plan);
    const HoldingBlocks blocks = finder.at(at);
    double loss = 0.0;
    for (const Level level : {Level::kMotif, Level::kPhrase, Level::kSentence}) {
      const Block& block = *blocks[index_of(level)];
      const double x = at < block.goal ? (block.goal - at) / (block.goal - block.span.begin)
                                       : (at - block.goal) / (block.span.end - block.goal);
      const double depth[] = {1.5, 3.5, 2.5};
      loss += depth[index_of(level)] * x * x;
    }
    lowest = std::min(lowest, -5.982 - 4.5 * at.value / 12.0 - loss);
  }
  EXPECT_NEAR(curves.withheld[0].at({11.0}).value, free.levels[11].arc_level.value - lowest, 1e-9);
  EXPECT_GT(curves.withheld[0].at({11.0}).value, 1.0);
}

}  // namespace
}  // namespace arsis
