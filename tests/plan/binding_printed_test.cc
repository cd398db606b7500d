// What is printed, laid over a score: parts, dynamics, marks.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "base/text.h"
#include "plan/plan_text.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::bound_of;
using test::kWholePlan;
using test::repeated;
using test::score_of;
using test::ScoreText;

// Two hands in 4/4, four bars of quarter notes each.
Score two_hands() {
  return score_of(ScoreText{.parts = {repeated("C5", 16), repeated("C3", 16)},
                            .names = {"Right Hand", "Left Hand"}});
}

const std::string kTwoHands =
    kWholePlan + "parts: [{name: right hand, role: melody}, {name: left hand, role: bass}]\n";

std::string parts_of(const BoundPlan& bound) {
  std::string text;
  for (const BoundPart& part : bound.parts) {
    text += part.name + " " + std::string(kRoleNames[static_cast<std::size_t>(part.role)]) + " " +
            short_number(part.balance.value) + "; ";
  }
  return text;
}

TEST(BindParts, FindsPartsByNameTrackAndChannel) {
  Score score = two_hands();
  score.parts[1].channel = 8;
  struct Row {
    const char* parts;
    const char* bound;
  };
  constexpr Row kRows[] = {
      {"[{name: RIGHT HAND, role: melody}, {name: left hand, role: bass}]",
       "RIGHT HAND melody 0; left hand bass -2.5; "},
      {"[{name: tune, track: 1, role: melody}, {name: rest, track: 2, role: accompaniment}]",
       "tune melody 0; rest accompaniment -4; "},
      {"[{name: tune, channel: 9, role: melody}, {name: rest, channel: 1, role: bass}]",
       "rest bass -2.5; tune melody 0; "},
      {"[{name: tune, track: 2, channel: 9, role: melody, balance: -1 dB},"
       " {name: rest, track: 1, role: bass, balance: -10 dB}]",
       "rest bass -10; tune melody -1; "}};
  for (const Row& row : kRows) {
    const BoundPlan bound = bound_of(kWholePlan + "parts: " + row.parts + "\n", score);
    EXPECT_EQ(parts_of(bound), row.bound);
  }
}

TEST(BindParts, TakesTheHighestAsMelodyWhereThePlanSaysNothing) {
  EXPECT_EQ(parts_of(bound_of(kWholePlan, two_hands())),
            "Right Hand melody 0; Left Hand accompaniment -4; ");
  const Score swapped =
      score_of(ScoreText{.parts = {repeated("C3", 16), repeated("C5", 16), repeated("C4", 16)}});
  EXPECT_EQ(parts_of(bound_of(kWholePlan, swapped)),
            " accompaniment -4;  melody 0;  accompaniment -4; ");
}

TEST(BindParts, LetsOnePlanPartHoldSeveralChannels) {
  Score score = two_hands();
  score.parts[1].number = 1;  // one track, two channels
  EXPECT_EQ(
      parts_of(bound_of(kWholePlan + "parts: [{name: all, track: 1, role: melody}]\n", score)),
      "all melody 0; all melody 0; ");
}

TEST(BindParts, TakesBalancesFromTheShape) {
  EXPECT_EQ(parts_of(bound_of(kTwoHands + "shape: {balance: {melody: -1 dB, bass: -6 dB}}\n",
                              two_hands())),
            "right hand melody -1; left hand bass -6; ");
}

// "0 mf" is a mark, "4-8 mf>p" a hairpin; moments in quarter notes.
std::string line_of(const DynamicLine& line) {
  const auto name = [](int step) {
    return std::string(dynamic_names()[static_cast<std::size_t>(step + 5)]);
  };
  std::string text;
  for (const DynamicStretch& stretch : line) {
    if (!text.empty()) text += ", ";
    text += short_number(stretch.from.value);
    if (stretch.is_hairpin()) text += "-" + short_number(stretch.to.value);
    text += " " + name(stretch.begin_step);
    if (stretch.is_hairpin()) text += (stretch.falls ? ">" : "<") + name(stretch.end_step);
  }
  return text;
}

struct Dynamics {
  const char* what;
  const char* written;
  const char* right;
  const char* left;
};

TEST(BindDynamics, EndsHairpinsOnTheirMark) {
  constexpr Dynamics kRows[] = {
      {"none", "[]", "", ""},
      {"marks", "[{at: 1:1, mark: p}, {at: 2:1, mark: ff}]", "0 p, 4 ff", "0 p, 4 ff"},
      {"in any order", "[{at: 2:1, mark: ff}, {at: 1:1, mark: p}]", "0 p, 4 ff", "0 p, 4 ff"},
      {"its own mark", "[{at: 1:1, mark: p}, {from: 1:1, to: 2:1, hairpin: cresc, mark: ff}]",
       "0 p, 0-4 p<ff", "0 p, 0-4 p<ff"},
      {"the mark at its end",
       "[{at: 1:1, mark: p}, {from: 1:3, to: 2:1, hairpin: cresc}, {at: 2:1, mark: ff}]",
       "0 p, 2-4 p<ff, 4 ff", "0 p, 2-4 p<ff, 4 ff"},
      {"one step without a mark", "[{at: 1:1, mark: p}, {from: 1:3, to: 2:1, hairpin: cresc}]",
       "0 p, 2-4 p<mp", "0 p, 2-4 p<mp"},
      {"one step down", "[{at: 1:1, mark: f}, {from: 1:3, to: 2:1, hairpin: dim}]", "0 f, 2-4 f>mf",
       "0 f, 2-4 f>mf"},
      {"one after the other",
       "[{at: 1:1, mark: p}, {from: 1:1, to: 2:1, hairpin: cresc, mark: f},"
       " {from: 2:1, to: 3:1, hairpin: dim}]",
       "0 p, 0-4 p<f, 4-8 f>mf", "0 p, 0-4 p<f, 4-8 f>mf"},
      {"no further than the softest",
       "[{at: 1:1, mark: ppp}, {from: 1:1, to: 2:1, hairpin: dim},"
       " {from: 2:1, to: 2:3, hairpin: dim, mark: pppp}]",
       "0 ppp, 0-4 ppp>pppp, 4-6 pppp>pppp", "0 ppp, 0-4 ppp>pppp, 4-6 pppp>pppp"}};
  for (const Dynamics& row : kRows) {
    const BoundPlan bound = bound_of(kTwoHands + "dynamics: " + row.written + "\n", two_hands());
    EXPECT_EQ(line_of(bound.dynamics[bound.parts[0].dynamics]), row.right) << row.what;
    EXPECT_EQ(line_of(bound.dynamics[bound.parts[1].dynamics]), row.left) << row.what;
  }
}

TEST(BindDynamics, LetsAPartsOwnReplaceThoseOfAllPartsWhereTheyMeet) {
  constexpr Dynamics kRows[] = {
      {"a mark at the same moment", "[{at: 1:1, mark: p}, {at: 1:1, mark: f, part: right hand}]",
       "0 f", "0 p"},
      {"a mark elsewhere", "[{at: 1:1, mark: p}, {at: 3:1, mark: f, part: right hand}]", "0 p, 8 f",
       "0 p"},
      {"a hairpin over a mark",
       "[{at: 1:1, mark: p}, {at: 2:1, mark: ff},"
       " {from: 1:3, to: 3:1, hairpin: cresc, mark: f, part: left hand}]",
       "0 p, 4 ff", "0 p, 2-8 p<f"},
      {"a mark within a hairpin",
       "[{at: 1:1, mark: p}, {from: 2:1, to: 3:1, hairpin: cresc, mark: f},"
       " {at: 2:3, mark: pp, part: left hand}]",
       "0 p, 4-8 p<f", "0 p, 6 pp"},
      {"a mark where a hairpin begins",
       "[{at: 1:1, mark: p}, {from: 2:1, to: 3:1, hairpin: cresc, mark: ff},"
       " {at: 2:1, mark: f, part: right hand}]",
       "0 p, 4 f, 4-8 f<ff", "0 p, 4-8 p<ff"},
      {"a mark where a hairpin ends",
       "[{at: 1:1, mark: p}, {from: 2:1, to: 3:1, hairpin: cresc},"
       " {at: 3:1, mark: f, part: right hand}, {at: 3:1, mark: mf, part: left hand}]",
       "0 p, 4-8 p<f, 8 f", "0 p, 4-8 p<mf, 8 mf"},
      {"a mark of all where its own hairpin begins and ends",
       "[{at: 1:1, mark: p}, {at: 2:1, mark: mf}, {at: 3:1, mark: ff},"
       " {from: 2:1, to: 3:1, hairpin: cresc, part: right hand}]",
       "0 p, 4 mf, 4-8 mf<ff, 8 ff", "0 p, 4 mf, 8 ff"},
      {"a mark of all where its own hairpin ends on another",
       "[{at: 1:1, mark: p}, {at: 3:1, mark: ff},"
       " {from: 2:1, to: 3:1, hairpin: cresc, mark: f, part: right hand}]",
       "0 p, 4-8 p<f", "0 p, 8 ff"},
      {"hairpins end to end",
       "[{at: 1:1, mark: p}, {from: 3:1, to: 4:1, hairpin: dim, mark: pp},"
       " {from: 2:1, to: 3:1, hairpin: cresc, mark: f, part: right hand}]",
       "0 p, 4-8 p<f, 8-12 f>pp", "0 p, 8-12 p>pp"},
      {"hairpins that overlap",
       "[{at: 1:1, mark: p}, {from: 2:3, to: 4:1, hairpin: cresc, mark: ff},"
       " {from: 2:1, to: 3:1, hairpin: cresc, mark: f, part: right hand}]",
       "0 p, 4-8 p<f", "0 p, 6-12 p<ff"}};
  for (const Dynamics& row : kRows) {
    const BoundPlan bound = bound_of(kTwoHands + "dynamics: " + row.written + "\n", two_hands());
    EXPECT_EQ(line_of(bound.dynamics[bound.parts[0].dynamics]), row.right) << row.what;
    EXPECT_EQ(line_of(bound.dynamics[bound.parts[1].dynamics]), row.left) << row.what;
  }
}

TEST(BindDynamics, GoesToPianoAfterAFortePiano) {
  const BoundPlan bound = bound_of(
      kTwoHands +
          "dynamics: [{at: 1:1, mark: mf}]\nmarks: [{at: 2:1, mark: fp, part: left hand}]\n",
      two_hands());
  EXPECT_EQ(line_of(bound.dynamics[bound.parts[0].dynamics]), "0 mf");
  EXPECT_EQ(line_of(bound.dynamics[bound.parts[1].dynamics]), "0 mf, 4 p");
  EXPECT_TRUE(bound.marks_of(9).has(Mark::kFortePiano) != bound.marks_of(8).has(Mark::kFortePiano));
}

// "onset part" of each note that has the mark.
std::string marked(const BoundPlan& bound, const Score& score, Mark mark) {
  std::string text;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    if (!bound.marks_of(i).has(mark)) continue;
    text +=
        short_number(score.notes[i].onset.value) + "/" + std::to_string(score.notes[i].part) + " ";
  }
  return text;
}

TEST(BindMarks, StandOverTheNotesThatStartThere) {
  const Score score = two_hands();
  const BoundPlan bound =
      bound_of(kTwoHands +
                   "marks:\n"
                   "  - {at: 1:2, mark: accent}\n"
                   "  - {at: 2:1, mark: tenuto, part: left hand}\n"
                   "  - {from: 3:1, to: 3:3, mark: staccato, part: right hand}\n"
                   "  - {from: 4:3, to: 4:4, mark: portato}\n"
                   "  - {at: 4:4, mark: sfz}\n",
               score);
  EXPECT_EQ(marked(bound, score, Mark::kAccent), "1/0 1/1 ");
  EXPECT_EQ(marked(bound, score, Mark::kTenuto), "4/1 ");
  EXPECT_EQ(marked(bound, score, Mark::kStaccato), "8/0 9/0 10/0 ");
  EXPECT_EQ(marked(bound, score, Mark::kPortato), "14/0 14/1 15/0 15/1 ");
  EXPECT_EQ(marked(bound, score, Mark::kSforzato), "15/0 15/1 ");
  EXPECT_EQ(marked(bound, score, Mark::kFermata), "");
}

TEST(BindMarks, FindNotesOffTheBeat) {
  const Score score = score_of("C5/1 D5/0.333333333 E5/0.333333333 F5/0.333333333 G5/6");
  const BoundPlan bound = bound_of(kWholePlan + "marks: [{at: 1:2+1/3, mark: accent}]\n", score);
  EXPECT_EQ(marked(bound, score, Mark::kAccent), "1.333/0 ");
}

TEST(BindMarks, HoldTheLongestNoteOrABeatOfRest) {
  struct Row {
    const char* marks;
    std::vector<std::pair<double, double>> spans;
  };
  const Score score = score_of(ScoreText{.parts = {"C5/2 D5/2 r/2 E5/2", "C3 r C3/3 C3/3"},
                                         .names = {"right hand", "left hand"}});
  const Row rows[] = {
      {"[{at: 1:1, mark: fermata}]", {{0.0, 2.0}}},
      {"[{at: 1:1, mark: fermata, part: left hand}]", {{0.0, 1.0}}},
      {"[{at: 2:1, mark: fermata}]", {{4.0, 5.0}}},  // nothing starts there
      {"[{at: 1:3, mark: fermata}, {at: 1:3, mark: fermata, part: left hand}]", {{2.0, 5.0}}},
      {"[{at: 2:3, mark: fermata}, {at: 1:1, mark: fermata}]", {{0.0, 2.0}, {6.0, 8.0}}}};
  for (const Row& row : rows) {
    const BoundPlan bound = bound_of(kTwoHands + "marks: " + row.marks + "\n", score);
    std::vector<std::pair<double, double>> spans;
    for (const Fermata& fermata : bound.fermatas) {
      spans.emplace_back(fermata.span.begin.value, fermata.span.end.value);
    }
    EXPECT_EQ(spans, row.spans) << row.marks;
  }
}

TEST(BindMarks, BreatheInTheirParts) {
  const BoundPlan bound = bound_of(
      kTwoHands + "marks: [{at: 3:1, mark: breath}, {at: 2:1, mark: breath, part: left hand}]\n",
      two_hands());
  ASSERT_EQ(bound.breaths.size(), 2u);
  EXPECT_EQ(bound.breaths[0].at.value, 4.0);
  EXPECT_EQ(bound.breaths[0].parts, (std::vector<bool>{false, true}));
  EXPECT_EQ(bound.breaths[1].parts, (std::vector<bool>{true, true}));
}

}  // namespace
}  // namespace arsis
