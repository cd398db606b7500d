// Parts, dynamics and marks as a plan writes them: what is read, and every complaint, word for
// word.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "plan/marks.h"
#include "plan/plan_text.h"
#include "plan/values.h"

namespace arsis {
namespace {

using test::complaints;
using test::kWholePlan;
using test::plan_of;
using Row = test::ComplaintRow;

TEST(PartReader, ReadsEveryKey) {
  const Plan plan =
      plan_of(kWholePlan +
              "parts:\n"
              "  - {name: right hand, track: 1, role: melody}\n"
              "  - {name: left hand, channel: 16, role: accompaniment, balance: -3.5 dB}\n"
              "  - {name: pedals, track: 3, channel: 1, hand: left, role: bass, balance: 0 dB}\n");
  ASSERT_EQ(plan.parts.size(), 3u);
  EXPECT_EQ(plan.parts[0].name, "right hand");
  EXPECT_EQ(plan.parts[0].track, 1);
  EXPECT_EQ(plan.parts[0].channel, std::nullopt);
  EXPECT_EQ(plan.parts[0].role, Role::kMelody);
  EXPECT_EQ(plan.parts[0].balance, std::nullopt);
  EXPECT_EQ(plan.parts[1].channel, 16);
  EXPECT_EQ(plan.parts[1].role, Role::kAccompaniment);
  EXPECT_EQ(plan.parts[1].balance, Decibels{-3.5});
  EXPECT_EQ(plan.parts[0].hand, Hand::kBoth);
  EXPECT_EQ(plan.parts[2].hand, Hand::kLeft);
  EXPECT_EQ(plan.parts[2].role, Role::kBass);
  EXPECT_EQ(plan.parts[2].place, (Place{8, 5}));
}

TEST(PartReader, SaysWhatIsWrong) {
  const Row rows[] = {
      {"parts: {name: a}", {"p:5:8: parts must be a list; begin each entry with '- '"}},
      {"parts: [right hand]",
       {"p:5:9: a part cannot be 'right hand'; write a map with name, track, channel, hand, "
        "role, balance or levels"}},
      {"parts: [{}]",
       {"p:5:9: a part lacks 'name'; add 'name:'", "p:5:9: a part lacks 'role'; add 'role:'"}},
      {"parts: [{name: a, role: solo}]",
       {"p:5:25: role cannot be 'solo'; write melody, accompaniment or bass"}},
      {"parts: [{name: a, role: melodie}]",
       {"p:5:25: role cannot be 'melodie'; did you mean 'melody'?"}},
      {"parts: [{name: a, role: melody, track: 0}]",
       {"p:5:40: track cannot be '0'; write a whole number from 1 to 65535"}},
      {"parts: [{name: a, role: melody, track: two}]",
       {"p:5:40: track cannot be 'two'; write a whole number from 1 to 65535"}},
      {"parts: [{name: a, role: melody, channel: 17}]",
       {"p:5:42: channel cannot be '17'; write a whole number from 1 to 16"}},
      {"parts: [{name: a, role: melody, balance: 3 dB}]",
       {"p:5:42: balance cannot be '3 dB'; write -24 dB to 0 dB"}},
      {"parts: [{name: a, role: melody, balance: -3}]",
       {"p:5:42: balance '-3' lacks a unit; write -24 dB to 0 dB, with the unit"}},
      {"parts: [{name: a, role: melody}, {name: a, role: bass}]",
       {"p:5:34: two parts are named 'a'; give each its own name"}},
      {"parts: [{name: a, role: melody, side: left}]",
       {"p:5:33: a part has no key 'side'; its keys are name, track, channel, hand, role, balance "
        "or levels"}},
      {"parts: [{name: a, role: melody, hand: lefft}]",
       {"p:5:39: hand cannot be 'lefft'; did you mean 'left'?"}},
      {"parts: [{name: [a], role: melody}]",
       {"p:5:16: name cannot be a list; write text on one line"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(kWholePlan + row.plan + "\n"), row.messages) << row.plan;
}

TEST(PartReader, ReadsAtMostTwoHundredAndFiftySixParts) {
  std::string parts = "parts:\n";
  for (int i = 0; i < 257; ++i) parts += "  - {name: p" + std::to_string(i) + ", role: melody}\n";
  EXPECT_EQ(complaints(kWholePlan + parts),
            std::vector<std::string>{"p:262:5: too many parts; at most 256 are read"});
}

TEST(PrintedReader, TakesAListLeftEmpty) {
  const Plan plan = plan_of(kWholePlan + "parts:\ndynamics:\nmarks:  # none yet\n");
  EXPECT_TRUE(plan.parts.empty() && plan.dynamics.empty() && plan.marks.empty());
}

TEST(DynamicReader, ReadsMarksAndHairpins) {
  const Plan plan = plan_of(kWholePlan +
                            "dynamics:\n"
                            "  - {at: 0:3.5, mark: mf}\n"
                            "  - {from: 1:1, to: 2:1+2/3, hairpin: cresc}\n"
                            "  - {from: 3:1, to: 4:1, hairpin: dim, mark: pp, part: left hand}\n");
  ASSERT_EQ(plan.dynamics.size(), 3u);
  const DynamicPlan& mark = plan.dynamics[0];
  EXPECT_EQ(mark.from.position.bar, 0);
  EXPECT_EQ(mark.from.position.beat, 3.5);
  EXPECT_EQ(mark.from.place, (Place{6, 10}));
  EXPECT_FALSE(mark.to.has_value());
  EXPECT_EQ(mark.step, 0);
  EXPECT_EQ(mark.part, "");
  const DynamicPlan& cresc = plan.dynamics[1];
  EXPECT_DOUBLE_EQ(cresc.to->position.beat, 1.0 + 2.0 / 3.0);
  EXPECT_TRUE(cresc.rises);
  EXPECT_EQ(cresc.step, std::nullopt);
  const DynamicPlan& dim = plan.dynamics[2];
  EXPECT_FALSE(dim.rises);
  EXPECT_EQ(dim.step, -3);
  EXPECT_EQ(dim.part, "left hand");
}

TEST(DynamicReader, KnowsEveryDynamicMark) {
  struct Dynamic {
    const char* mark;
    int step;  // from mf
  };
  constexpr Dynamic kDynamics[] = {{"pppp", -5}, {"ppp", -4}, {"pp", -3}, {"p", -2},  {"mp", -1},
                                   {"mf", 0},    {"f", 1},    {"ff", 2},  {"fff", 3}, {"ffff", 4}};
  for (const auto& [mark, step] : kDynamics) {
    const Plan plan = plan_of(kWholePlan + "dynamics: [{at: 1:1, mark: " + mark + "}]\n");
    EXPECT_EQ(plan.dynamics.at(0).step, step) << mark;
  }
  EXPECT_EQ(dynamic_names().size(), std::size(kDynamics));
}

TEST(DynamicReader, SaysWhatIsWrong) {
  const Row rows[] = {
      {"dynamics: p", {"p:5:11: dynamics must be a list; begin each entry with '- '"}},
      {"dynamics: [p]",
       {"p:5:12: a dynamic cannot be 'p'; write a map with at, from, to, hairpin, mark or part"}},
      {"dynamics: [{at: 1:1}]", {"p:5:12: a dynamic lacks 'mark'; add 'mark:'"}},
      {"dynamics: [{mark: p}]",
       {"p:5:12: it is not said where this stands; write at:, or from: and to:"}},
      {"dynamics: [{at: 1, mark: p}]",
       {"p:5:17: at cannot be '1'; write bar:beat, such as 9:3, 9:3.5 or 9:3+1/3"}},
      {"dynamics: [{at: 1:1, mark: sf}]",
       {"p:5:28: 'sf' stands in the wrong list; write it under 'marks:'"}},
      {"dynamics: [{at: 1:1, mark: pianissimo}]",
       {"p:5:28: mark cannot be 'pianissimo'; write pppp, ppp, pp, p, mp, mf, f, ff, fff or ffff"}},
      {"dynamics: [{at: 1:1, mark: }]",
       {"p:5:22: mark cannot be nothing; write pppp, ppp, pp, p, mp, mf, f, ff, fff or ffff"}},
      {"dynamics: [{at: 1:1, to: 2:1, mark: p}]",
       {"p:5:17: 'at' goes with neither 'from' nor 'to'; write at: for one place, from: and to: "
        "for a stretch"}},
      {"dynamics: [{from: 1:1, mark: p}]",
       {"p:5:12: it is not said where this stands; write at:, or from: and to:"}},
      {"dynamics: [{from: 1:1, to: 2:1, mark: p}]",
       {"p:5:12: a dynamic from here to there is a hairpin; add hairpin: cresc or dim, or write "
        "at:"}},
      {"dynamics: [{from: 1:1, to: 2:1, hairpin: crescendo}]",
       {"p:5:42: hairpin cannot be 'crescendo'; write cresc, dim or decresc"}},
      {"dynamics: [{from: 1:1, to: 2:1, hairpin: crec}]",
       {"p:5:42: hairpin cannot be 'crec'; did you mean 'cresc'?"}},
      {"dynamics: [{at: 1:1, hairpin: dim}]",
       {"p:5:31: a hairpin has a beginning and an end; write from: and to:"}},
      {"dynamics: [{at:1:1, mark: p}]",
       {"p:5:12: it is not said where this stands; write at:, or from: and to:",
        "p:5:13: a dynamic has no key 'at:1:1'; write a blank after 'at:'"}},
      {"dynamics: [{at: 1:1, mark: p, part: [a]}]",
       {"p:5:37: part cannot be a list; write text on one line"}},
      {"dynamics: [{at: 1:1, mark: p, hand: left}]",
       {"p:5:31: a dynamic has no key 'hand'; its keys are at, from, to, hairpin, mark or part"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(kWholePlan + row.plan + "\n"), row.messages) << row.plan;
}

TEST(DynamicReader, ReadsWhatIsAddedToThePageAndRemovedFromIt) {
  const Plan plan = plan_of(kWholePlan +
                            "dynamics:\n"
                            "  add:\n"
                            "    - {at: 1:1, mark: p}\n"
                            "  remove:\n"
                            "    - {at: 2:1}\n"
                            "    - {from: 3:1, to: 4:1, hairpin: dim, mark: pp, part: left hand}\n"
                            "marks: {remove: [{at: 1:2/2nd, mark: sfz}]}\n");
  EXPECT_EQ(plan.dynamics.size(), 1u);
  EXPECT_FALSE(plan.page_dynamics.all_replaced);
  ASSERT_EQ(plan.page_dynamics.removed.size(), 2u);
  const RemovePlan& all = plan.page_dynamics.removed[0];
  EXPECT_EQ(all.from.position.bar, 2);
  EXPECT_TRUE(!all.to && !all.step && !all.rises && !all.mark && all.part.empty());
  EXPECT_EQ(all.place, (Place{9, 7}));
  const RemovePlan& one = plan.page_dynamics.removed[1];
  EXPECT_EQ(one.to->position.bar, 4);
  EXPECT_EQ(one.rises, false);
  EXPECT_EQ(one.step, -3);
  EXPECT_EQ(one.part, "left hand");
  EXPECT_TRUE(plan.marks.empty());
  EXPECT_FALSE(plan.page_marks.all_replaced);
  ASSERT_EQ(plan.page_marks.removed.size(), 1u);
  EXPECT_EQ(plan.page_marks.removed[0].from.position.pass, 2);
  EXPECT_EQ(plan.page_marks.removed[0].mark, Mark::kSforzato);
}

TEST(DynamicReader, TakesAListForAllOfThePage) {
  struct Kind {
    const char* dynamics;
    bool all_replaced;
  };
  constexpr Kind kKinds[] = {{"[]", true},
                             {"", false},
                             {"{}", false},
                             {"{add: []}", false},
                             {"{add: [], remove: []}", false}};
  for (const auto& [dynamics, all_replaced] : kKinds) {
    const Plan plan = plan_of(kWholePlan + "dynamics: " + dynamics + "\nmarks: " + dynamics + "\n");
    EXPECT_EQ(plan.page_dynamics.all_replaced, all_replaced) << dynamics;
    EXPECT_EQ(plan.page_marks.all_replaced, all_replaced) << dynamics;
  }
}

TEST(DynamicReader, SaysWhatIsWrongWithAChangeOfThePage) {
  const Row rows[] = {
      {"dynamics: {ad: []}", {"p:5:12: 'dynamics:' has no key 'ad'; did you mean 'add'?"}},
      {"dynamics: {removed: []}",
       {"p:5:12: 'dynamics:' has no key 'removed'; did you mean 'remove'?"}},
      {"marks: {instead: []}",
       {"p:5:9: 'marks:' has no key 'instead'; its keys are add or remove"}},
      {"dynamics: {at: 1:1, mark: p}",
       {"p:5:11: dynamics must be a list; begin each entry with '- '"}},
      {"dynamics: {add: {at: 1:1, mark: p}}",
       {"p:5:17: dynamics must be a list; begin each entry with '- '"}},
      {"dynamics: {remove: {at: 1:1}}",
       {"p:5:20: remove must be a list; begin each entry with '- '"}},
      {"dynamics: {remove: [1:1]}",
       {"p:5:21: what is removed cannot be '1:1'; write a map with at, from, to, hairpin, mark or "
        "part"}},
      {"dynamics: {add: [{at: 1:1}], remove: [{}, {at: 1:1, mark: sf}]}",
       {"p:5:18: a dynamic lacks 'mark'; add 'mark:'",
        "p:5:39: it is not said where this stands; write at:, or from: and to:",
        "p:5:59: 'sf' stands in the wrong list; write it under 'marks:'"}},
      {"dynamics: {remove: [{at: 1:1, hairpin: down}]}",
       {"p:5:40: hairpin cannot be 'down'; write cresc, dim or decresc"}},
      {"marks: {remove: [{at: 1:1, hairpin: dim}]}",
       {"p:5:28: what is removed has no key 'hairpin'; its keys are at, from, to, mark or part"}},
      {"marks: {remove: [{at: 1:1, mark: accents}]}",
       {"p:5:34: mark cannot be 'accents'; did you mean 'accent'?"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(kWholePlan + row.plan + "\n"), row.messages) << row.plan;
}

TEST(DynamicReader, ReadsAtMostTwentyThousand) {
  std::string dynamics = "dynamics:\n";
  for (int i = 0; i < 20'001; ++i) dynamics += "  - {at: 1:1, mark: p}\n";
  EXPECT_EQ(complaints(kWholePlan + dynamics),
            std::vector<std::string>{"p:20006:5: too many dynamics; at most 20000 are read"});
}

TEST(PositionReader, TakesBarAndBeatAndNothingElse) {
  struct Good {
    const char* text;
    int bar;
    double beat;
  };
  constexpr Good kGood[] = {{"9:3", 9, 3.0},           {"0:1", 0, 1.0},
                            {"9:3.5", 9, 3.5},         {"9:3+1/3", 9, 3.0 + 1.0 / 3.0},
                            {"9:7/2", 9, 3.5},         {"9:3.5+0.25", 9, 3.75},
                            {"100000:1", 100'000, 1.0}};
  for (const auto& [text, bar, beat] : kGood) {
    const auto position = parse_position(text);
    ASSERT_TRUE(position.has_value()) << text;
    EXPECT_EQ(position->bar, bar) << text;
    EXPECT_DOUBLE_EQ(position->beat, beat) << text;
  }
  for (const char* bad :
       {"",      "9",        "9:",       ":3",    "9:0",      "9:0.5",   "-1:1",
        "9:-3",  "9.5:1",    "9:3:1",    "9:3+",  "9:3+-1/3", "9:3-1/3", "9: 3",
        "9:1e5", "9:100001", "100001:1", "9:nan", "9:inf",    "9:1/0",   "99999999999999999999:1",
        "bar 9"}) {
    EXPECT_EQ(parse_position(bad).has_value(), false) << bad;
    EXPECT_EQ(complaints(kWholePlan + "marks: [{at: '" + bad + "', mark: accent}]\n"),
              std::vector<std::string>{"p:5:14: at cannot be '" + std::string(bad) +
                                       "'; write bar:beat, such as 9:3, 9:3.5 or 9:3+1/3"});
  }
}

TEST(MarkReader, ReadsMarksAtOnePlaceAndOverARange) {
  const Plan plan = plan_of(kWholePlan +
                            "marks:\n"
                            "  - {at: 2:1, mark: accent}\n"
                            "  - {from: 1:1, to: 2:2.5, mark: staccato, part: left hand}\n");
  ASSERT_EQ(plan.marks.size(), 2u);
  EXPECT_FALSE(plan.marks[0].to.has_value());
  EXPECT_EQ(plan.marks[0].place, (Place{6, 5}));
  EXPECT_EQ(plan.marks[1].mark, Mark::kStaccato);
  EXPECT_EQ(plan.marks[1].to->position.beat, 2.5);
  EXPECT_EQ(plan.marks[1].part, "left hand");
}

TEST(MarkReader, KnowsEveryMark) {
  struct Word {
    const char* word;
    Mark mark;
  };
  using enum Mark;
  constexpr Word kWords[] = {{"accent", kAccent},
                             {"marcato", kMarcato},
                             {"tenuto", kTenuto},
                             {"staccato", kStaccato},
                             {"staccatissimo", kStaccatissimo},
                             {"portato", kPortato},
                             {"fermata", kFermata},
                             {"sf", kSforzato},
                             {"sfz", kSforzato},
                             {"fz", kSforzato},
                             {"rf", kSforzato},
                             {"rfz", kSforzato},
                             {"fp", kFortePiano},
                             {"breath", kBreath},
                             {"arpeggio", kArpeggio}};
  for (const auto& [word, mark] : kWords) {
    const Plan plan = plan_of(kWholePlan + "marks: [{at: 1:1, mark: " + word + "}]\n");
    EXPECT_EQ(plan.marks.at(0).mark, mark) << word;
  }
  EXPECT_EQ(mark_names().size(), std::size(kWords));
}

TEST(MarkReader, SaysWhatIsWrong) {
  const Row rows[] = {
      {"marks: [{at: 1:1}]", {"p:5:9: a mark lacks 'mark'; add 'mark:'"}},
      {"marks: [{at: 1:1, mark: p}]",
       {"p:5:25: 'p' stands in the wrong list; write it under 'dynamics:'"}},
      {"marks: [{at: 1:1, mark: accents}]",
       {"p:5:25: mark cannot be 'accents'; did you mean 'accent'?"}},
      {"marks: [{at: 1:1, mark: ten}]",
       {"p:5:25: mark cannot be 'ten'; write accent, marcato, tenuto, staccato, staccatissimo, "
        "portato, fermata, sf, sfz, fz, rf, rfz, fp, breath or arpeggio"}},
      {"marks: [{from: 1:1, to: 2:1, mark: fermata}]",
       {"p:5:25: a fermata stands at one place; write at:"}},
      {"marks: [{from: 1:1, to: 2:1, mark: breath}]",
       {"p:5:25: a breath stands at one place; write at:"}},
      {"marks: [{from: 1:1, to: 2:1, mark: fp}]", {"p:5:25: an fp stands at one place; write at:"}},
      {"marks: [{from: 1:1, mark: tenuto}]",
       {"p:5:9: it is not said where this stands; write at:, or from: and to:"}},
      {"marks: [{mark: tenuto}]",
       {"p:5:9: it is not said where this stands; write at:, or from: and to:"}},
      {"marks: {at: 1:1, mark: tenuto}",
       {"p:5:8: marks must be a list; begin each entry with '- '"}},
      {"marks: [tenuto]",
       {"p:5:9: a mark cannot be 'tenuto'; write a map with at, from, to, mark or part"}},
      {"marks: [{at: 1:1, mark: accent, hand: left}]",
       {"p:5:33: a mark has no key 'hand'; its keys are at, from, to, mark or part"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(kWholePlan + row.plan + "\n"), row.messages) << row.plan;
}

}  // namespace
}  // namespace arsis
