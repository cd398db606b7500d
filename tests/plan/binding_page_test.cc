// What a page prints, laid under a plan: which of both holds, what is removed, where each is from.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <span>
#include <sstream>
#include <string>
#include <vector>

#include "base/text.h"
#include "plan/marks.h"
#include "plan/plan_text.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::kWholePlan;
using test::plan_of;
using test::repeated;
using test::score_of;
using test::ScoreText;
using test::texts_of;

// Two hands in 4/4, four bars of quarter notes each: the note of beat b is 2 b in the right hand,
// and 2 b + 1 in the left.
Score two_hands() {
  return score_of(ScoreText{.parts = {repeated("C5", 16), repeated("C3", 16)},
                            .names = {"right hand", "left hand"}});
}

const std::string kTwoHands =
    kWholePlan + "parts: [{name: right hand, role: melody}, {name: left hand, role: bass}]\n";

// "0 p, 4-8 <f right, 8-12 >": moments in quarter notes; a mark, or a hairpin with or without the
// mark that it ends on; the staff, or both. Entries stand in lines 101, 102 ... of the page.
std::vector<PrintedDynamic> dynamics_of(const std::string& text) {
  std::vector<PrintedDynamic> all;
  std::istringstream entries(text);
  for (std::string entry; std::getline(entries, entry, ',');) {
    std::istringstream words(entry);
    std::string extent;
    std::string what;
    std::string staff;
    words >> extent >> what >> staff;
    const std::size_t dash = extent.find('-');
    PrintedDynamic dynamic;
    dynamic.from = {*parse_number(extent.substr(0, dash))};
    dynamic.to =
        dash == std::string::npos ? dynamic.from : Beats{*parse_number(extent.substr(dash + 1))};
    dynamic.rises = what.front() == '<';
    if (what.front() == '<' || what.front() == '>') what.erase(0, 1);
    dynamic.step = dynamic_step(what);
    dynamic.parts = {staff != "left", staff != "right"};
    dynamic.is_of_staff = !staff.empty();
    dynamic.place = {101 + static_cast<int>(all.size()), 7};
    all.push_back(dynamic);
  }
  return all;
}

Printed page(const std::string& dynamics) {
  Printed printed;
  printed.file = "page";
  printed.dynamics = dynamics_of(dynamics);
  return printed;
}

// A page of marks: on notes 0 (accent), 9 (tenuto), 12 (staccato) and 14 (fp with its piano), a
// fermata over both notes of beat 15, one over a rest at beat 10, a breath at beat 8.
Printed marked_page() {
  Printed printed = page("7 p");
  printed.dynamics[0].place = {204, 9};
  printed.marks = {{Mark::kAccent, 0, {201, 9}},    {Mark::kTenuto, 9, {202, 9}},
                   {Mark::kStaccato, 12, {203, 9}}, {Mark::kFortePiano, 14, {204, 9}},
                   {Mark::kFermata, 30, {205, 9}},  {Mark::kFermata, 31, {206, 9}}};
  printed.fermatas = {
      {{{15.0}, {16.0}}, {205, 9}}, {{{15.0}, {16.0}}, {206, 9}}, {{{10.0}, {11.0}}, {207, 9}}};
  printed.breaths = {{{8.0}, {true, true}, {208, 9}}};
  return printed;
}

Result<BoundPlan> laid_over(const std::string& plan, const Printed& printed) {
  return bind_plan(plan_of(plan), two_hands(), printed);
}

BoundPlan bound(const std::string& plan, const Printed& printed) {
  Result<BoundPlan> result = laid_over(plan, printed);
  EXPECT_TRUE(result) << ::testing::PrintToString(texts_of(result.diagnostics()));
  return result ? *std::move(result) : BoundPlan{};
}

std::string line_of(const DynamicLine& line) {
  std::string text;
  for (const DynamicStretch& stretch : line) {
    if (!text.empty()) text += ", ";
    text += short_number(stretch.from.value);
    if (stretch.is_hairpin()) text += "-" + short_number(stretch.to.value);
    text += " " + std::string(dynamic_name(stretch.begin_step));
    if (stretch.is_hairpin()) {
      text += (stretch.falls ? ">" : "<") + std::string(dynamic_name(stretch.end_step));
    }
  }
  return text;
}

std::string line_of(const BoundPlan& plan, std::size_t part) {
  return line_of(plan.dynamics[plan.parts[part].dynamics]);
}

struct Row {
  const char* what;
  const char* page;
  const char* plan;  // the `dynamics:` of it; empty: none
  const char* right;
  const char* left;
};

void expect_lines(std::span<const Row> rows) {
  for (const Row& row : rows) {
    SCOPED_TRACE(row.what);
    const std::string plan = *row.plan == '\0' ? "" : std::string("dynamics: ") + row.plan + "\n";
    const BoundPlan result = bound(kTwoHands + plan, page(row.page));
    EXPECT_EQ(line_of(result, 0), row.right);
    EXPECT_EQ(line_of(result, 1), row.left);
  }
}

TEST(BindPage, LetsThePagesDynamicsHoldWhereThePlanSaysNothing) {
  constexpr Row kRows[] = {
      {"nothing printed", "", "", "", ""},
      {"both hands", "0 p, 4-8 <, 8 f", "", "0 p, 4-8 p<f, 8 f", "0 p, 4-8 p<f, 8 f"},
      {"a staff of its own", "0 p, 4 f left", "", "0 p", "0 p, 4 f"},
      {"a staff outranks the instrument", "0 p, 4 mf, 4 f left", "", "0 p, 4 mf", "0 p, 4 f"},
      {"a staff's mark inside the instrument's hairpin", "0 p, 4-12 <f, 8 pp right", "",
       "0 p, 8 pp", "0 p, 4-12 p<f"},
      {"one staff alone", "0 p left", "", "", "0 p"},
  };
  expect_lines(kRows);
}

TEST(BindPage, LetsAListOfThePlanReplaceAllOfThePages) {
  constexpr Row kRows[] = {
      {"a list", "0 p, 4 f left", "[{at: 2:1, mark: mf}, {at: 1:1, mark: pp}]", "0 pp, 4 mf",
       "0 pp, 4 mf"},
      {"an empty list", "0 p, 4 f left", "[]", "", ""},
      {"nothing after the key", "0 p, 4 f left", " # none yet", "0 p", "0 p, 4 f"},
      {"a map of nothing", "0 p, 4 f left", "{}", "0 p", "0 p, 4 f"},
  };
  expect_lines(kRows);
}

TEST(BindPage, LetsWhatThePlanAddsOutrankThePage) {
  constexpr Row kRows[] = {
      {"at the same moment", "0 p, 4 mf", "{add: [{at: 2:1, mark: ff}]}", "0 p, 4 ff", "0 p, 4 ff"},
      {"elsewhere", "0 p, 4 mf", "{add: [{at: 3:1, mark: ff}]}", "0 p, 4 mf, 8 ff",
       "0 p, 4 mf, 8 ff"},
      {"over what a staff has for itself", "0 p, 4 mf left", "{add: [{at: 2:1, mark: ff}]}",
       "0 p, 4 ff", "0 p, 4 ff"},
      {"for one part alone", "0 p, 4 mf", "{add: [{at: 2:1, mark: ff, part: left hand}]}",
       "0 p, 4 mf", "0 p, 4 ff"},
      {"one part over all parts over a staff", "0 p, 4 mf left",
       "{add: [{at: 2:1, mark: ff}, {at: 2:1, mark: pp, part: left hand}]}", "0 p, 4 ff",
       "0 p, 4 pp"},
      {"inside a hairpin of the page", "0 p, 4-12 <f", "{add: [{at: 3:1, mark: pp}]}", "0 p, 8 pp",
       "0 p, 8 pp"},
      {"a hairpin over marks of the page", "0 p, 6 mf, 8 f, 12 ff",
       "{add: [{from: 2:1, to: 4:1, hairpin: cresc}]}", "0 p, 4-12 p<ff, 12 ff",
       "0 p, 4-12 p<ff, 12 ff"},
      {"where the page's hairpin leads", "0 p, 4-8 <, 8 f", "{add: [{at: 3:1, mark: ff}]}",
       "0 p, 4-8 p<ff, 8 ff", "0 p, 4-8 p<ff, 8 ff"},
  };
  expect_lines(kRows);
}

TEST(BindPage, DropsWhatThePlanRemoves) {
  constexpr const char* kPage = "0 p, 4 mf, 4-8 <f, 8-12 >, 12 p left";
  constexpr Row kRows[] = {
      {"all that begins at a place", kPage, "{remove: [{at: 2:1}]}", "0 p, 8-12 p>pp",
       "0 p, 8-12 p>p, 12 p"},
      {"a mark by its name", kPage, "{remove: [{at: 2:1, mark: mf}]}", "0 p, 4-8 p<f, 8-12 f>mf",
       "0 p, 4-8 p<f, 8-12 f>p, 12 p"},
      {"a hairpin by its way", kPage, "{remove: [{at: 2:1, hairpin: cresc}]}",
       "0 p, 4 mf, 8-12 mf>mp", "0 p, 4 mf, 8-12 mf>p, 12 p"},
      {"a hairpin by its way and end", kPage, "{remove: [{at: 2:1, hairpin: cresc, mark: f}]}",
       "0 p, 4 mf, 8-12 mf>mp", "0 p, 4 mf, 8-12 mf>p, 12 p"},
      {"a stretch, both ends included", kPage, "{remove: [{from: 2:1, to: 4:1}]}", "0 p", "0 p"},
      {"a kind within a stretch", kPage, "{remove: [{from: 1:1, to: 4:1, hairpin: dim}]}",
       "0 p, 4 mf, 4-8 mf<f", "0 p, 4 mf, 4-8 mf<f, 12 p"},
      {"in one part", kPage, "{remove: [{from: 2:1, to: 4:1, part: left hand}]}",
       "0 p, 4 mf, 4-8 mf<f, 8-12 f>mf", "0 p"},
      {"and adds", kPage,
       "{remove: [{from: 2:1, to: 4:1}], add: [{from: 3:1, to: 4:1, hairpin: cresc}]}",
       "0 p, 8-12 p<mp", "0 p, 8-12 p<mp"},
  };
  expect_lines(kRows);
}

TEST(BindPage, SharesALineBetweenPartsForWhichTheSameIsWritten) {
  EXPECT_EQ(bound(kTwoHands, page("0 p")).dynamics.size(), 1u);
  EXPECT_EQ(bound(kTwoHands, page("0 p, 4 f left")).dynamics.size(), 2u);
  EXPECT_EQ(bound(kTwoHands, page("")).dynamics.size(), 1u);
  EXPECT_EQ(bound(kTwoHands + "dynamics: {add: [{at: 1:1, mark: p, part: left hand}]}\n", page(""))
                .dynamics.size(),
            2u);
}

// "5:12@page for page:101": where each dynamic of the part is written, and in place of what.
std::string sources_of(const BoundPlan& plan, std::size_t part) {
  std::string text;
  for (const DynamicStretch& stretch : plan.dynamics[plan.parts[part].dynamics]) {
    const DynamicSource& source = plan.dynamic_sources[stretch.source];
    if (!text.empty()) text += ", ";
    text += (source.source.on_page ? "page:" : "plan:") + std::to_string(source.source.place.line);
    if (source.instead_of) text += " for " + std::to_string(source.instead_of->line);
  }
  return text;
}

TEST(BindPage, KnowsWhereEachDynamicIsWritten) {
  const BoundPlan plan = bound(kTwoHands +
                                   "dynamics:\n"
                                   "  add:\n"
                                   "    - {from: 2:1, to: 3:1, hairpin: dim}\n"
                                   "    - {at: 4:1, mark: p}\n",
                               page("0 mf, 5-7 >, 6 p left, 10 f"));
  EXPECT_EQ(sources_of(plan, 0), "page:101, plan:8 for 102, page:104, plan:9");
  EXPECT_EQ(sources_of(plan, 1), "page:101, plan:8 for 102, page:104, plan:9");
}

TEST(BindPage, IsNeverAtFault) {
  struct Doubtful {
    const char* page;
    const char* plan;
    std::vector<std::string> messages;
  };
  const Doubtful rows[] = {
      {"4 p",
       "",
       {"page:101:7: warning: no dynamic is written before 2:1; mf is taken; write another into "
        "the plan, with dynamics: {add: [...]}"}},
      {"4 p", "{add: [{at: 1:1, mark: f}]}", {}},
      {"0 f, 4-8 <, 8 p",
       "",
       {"page:102:7: warning: this crescendo does not end louder than it begins; check the marks "
        "at both its ends"}},
      {"0 f, 4-8 < , 8 p", "{remove: [{at: 2:1}]}", {}},
      // Of two parts that it holds for, it is asked about once; the plan's come first.
      {"0 f, 4-8 <, 8 p, 12 mf left",
       "{add: [{from: 2:1, to: 2:2, hairpin: dim, mark: ff, part: left hand}]}",
       {"p:6:18: warning: this diminuendo does not end softer than it begins; check the marks at "
        "both its ends",
        "page:102:7: warning: this crescendo does not end louder than it begins; check the marks "
        "at both its ends"}},
  };
  for (const Doubtful& row : rows) {
    const std::string plan = *row.plan == '\0' ? "" : std::string("dynamics: ") + row.plan + "\n";
    const Result<BoundPlan> result = laid_over(kTwoHands + plan, page(row.page));
    EXPECT_TRUE(result) << row.page;
    std::vector<std::string> messages;
    for (const std::string& text : texts_of(result.diagnostics())) {
      if (text.find("bar line") == std::string::npos && text.find("no block") == std::string::npos)
        messages.push_back(text);
    }
    EXPECT_EQ(messages, row.messages) << row.page << " under " << row.plan;
  }
}

// "accent 0, tenuto 9 ...": the notes with their marks, then what is held, then where it breathes.
std::string marks_of(const BoundPlan& plan) {
  std::string text;
  for (std::size_t note = 0; note < plan.marks.size(); ++note) {
    for (const Mark mark : kEveryMark) {
      if (!plan.marks[note].has(mark)) continue;
      text += std::string(mark_name(mark)) + " " + std::to_string(note) + ", ";
    }
  }
  for (const Fermata& fermata : plan.fermatas) {
    text += "held " + short_number(fermata.span.begin.value) + ", ";
  }
  for (const BreathMark& breath : plan.breaths) {
    text += "breath " + short_number(breath.at.value);
    text += breath.parts[0] == breath.parts[1] ? ", " : breath.parts[0] ? " right, " : " left, ";
  }
  return text;
}

TEST(BindPage, LetsThePagesMarksHoldBesideThoseThatThePlanAdds) {
  struct Marks {
    const char* what;
    const char* plan;  // the `marks:` of it; empty: none
    const char* all;
    const char* dynamics = "7 p";  // of the right hand
  };
  constexpr Marks kRows[] = {
      {"nothing said", "",
       "accent 0, tenuto 9, staccato 12, fp 14, fermata 30, fermata 31, held 10, held 15, breath "
       "8, "},
      {"a list", "[{at: 1:2, mark: accent, part: left hand}]", "accent 3, ", ""},
      {"an empty list", "[]", "", ""},
      {"a dash over a dot", "{add: [{at: 2:3, mark: tenuto}]}",
       "accent 0, tenuto 9, tenuto 12, staccato 12, tenuto 13, fp 14, fermata 30, fermata 31, "
       "held 10, held 15, breath 8, "},
      {"a fermata where one is", "{add: [{at: 4:4, mark: fermata}]}",
       "accent 0, tenuto 9, staccato 12, fp 14, fermata 30, fermata 31, held 10, held 15, breath "
       "8, "},
      {"all of a place", "{remove: [{at: 1:1}]}",
       "tenuto 9, staccato 12, fp 14, fermata 30, fermata 31, held 10, held 15, breath 8, "},
      {"all of a stretch", "{remove: [{from: 1:1, to: 4:4}]}", "", ""},
      {"a kind", "{remove: [{from: 1:1, to: 4:4, mark: fermata}]}",
       "accent 0, tenuto 9, staccato 12, fp 14, breath 8, "},
      {"fermatas of one part", "{remove: [{from: 1:1, to: 4:4, mark: fermata, part: left hand}]}",
       "accent 0, tenuto 9, staccato 12, fp 14, fermata 30, held 10, held 15, breath 8, "},
      {"a breath of one part", "{remove: [{at: 3:1, mark: breath, part: left hand}]}",
       "accent 0, tenuto 9, staccato 12, fp 14, fermata 30, fermata 31, held 10, held 15, "
       "breath 8 right, "},
      {"a forte-piano with its piano", "{remove: [{at: 2:4, mark: fp}]}",
       "accent 0, tenuto 9, staccato 12, fermata 30, fermata 31, held 10, held 15, breath 8, ", ""},
      {"one for another", "{remove: [{at: 1:1}], add: [{at: 1:1, mark: marcato}]}",
       "marcato 0, marcato 1, tenuto 9, staccato 12, fp 14, fermata 30, fermata 31, held 10, "
       "held 15, breath 8, "},
  };
  for (const Marks& row : kRows) {
    SCOPED_TRACE(row.what);
    const std::string plan = *row.plan == '\0' ? "" : std::string("marks: ") + row.plan + "\n";
    const BoundPlan result = bound(kTwoHands + plan, marked_page());
    EXPECT_EQ(marks_of(result), row.all);
    EXPECT_EQ(line_of(result, 0), row.dynamics);
  }
}

TEST(BindPage, KnowsWhereEachMarkIsWritten) {
  const BoundPlan plan =
      bound(kTwoHands + "marks: {remove: [{at: 2:4}], add: [{from: 1:1, to: 1:3, mark: tenuto}]}\n",
            marked_page());
  std::string text;
  for (const MarkSource& source : plan.mark_sources) {
    text += fmt::format("{} {} {} {}, ", mark_name(source.mark), source.on_page ? "page" : "plan",
                        source.index, source.notes);
  }
  EXPECT_EQ(text,
            "accent page 0 1, tenuto page 1 1, staccato page 2 1, fermata page 0 0, fermata page 1 "
            "0, fermata page 2 0, tenuto plan 0 6, ");
  ASSERT_EQ(plan.breaths.size(), 1u);
  EXPECT_TRUE(plan.breaths[0].source.on_page);
  EXPECT_EQ(plan.breaths[0].source.place, (Place{208, 9}));
}

struct Complaint {
  const char* plan;  // after the parts, in line 6
  std::vector<std::string> messages;
};

// All that is said but for the structure of the plan.
std::vector<std::string> said(const std::string& plan, const Printed& printed) {
  std::vector<std::string> messages;
  for (const std::string& text :
       texts_of(laid_over(kTwoHands + plan + "\n", printed).diagnostics())) {
    if (text.find("belong to no block") == std::string::npos) messages.push_back(text);
  }
  return messages;
}

TEST(BindPage, SaysWhatIsWrongWithARemoval) {
  const Complaint rows[] = {
      {"dynamics: {remove: [{at: 9:1}]}",
       {"p:6:26: there is no 9:1 in the score; it goes from 1:1 to the end of bar 4"}},
      {"dynamics: {remove: [{from: 2:1, to: 1:1}]}",
       {"p:6:37: what is removed ends at 1:1, before it begins at 2:1; end it later"}},
      {"dynamics: {remove: [{at: 2:4, part: left}]}",
       {"p:6:21: there is no part 'left'; choose right hand or left hand"}},
      {"dynamics: {remove: [{at: 2:1}]}",
       {"p:6:21: warning: the page prints no dynamic at 2:1; nothing is removed; 'arsis check "
        "--printed' lists what there is"}},
      {"dynamics: {remove: [{at: 2:4, mark: f}]}",
       {"p:6:21: warning: the page prints no f at 2:4; nothing is removed; 'arsis check --printed' "
        "lists what there is"}},
      {"dynamics: {remove: [{from: 1:1, to: 2:4, hairpin: dim}]}",
       {"p:6:21: warning: the page prints no diminuendo from 1:1 to 2:4; nothing is removed; "
        "'arsis check --printed' lists what there is"}},
      {"dynamics: {remove: [{from: 1:1, to: 2:4, hairpin: cresc, mark: ff}]}",
       {"p:6:21: warning: the page prints no crescendo to ff from 1:1 to 2:4; nothing is removed; "
        "'arsis check --printed' lists what there is"}},
      {"marks: {remove: [{at: 1:1, mark: sfz}]}",
       {"p:6:18: warning: the page prints no sf at 1:1; nothing is removed; 'arsis check "
        "--printed' lists what there is"}},
      {"marks: {remove: [{at: 1:1, part: left hand}]}",
       {"p:6:18: warning: the page prints no mark at 1:1 for 'left hand'; nothing is removed; "
        "'arsis check --printed' lists what there is"}},
      {"marks: {remove: [{at: 1:1}, {at: 1:1}]}",
       {"p:6:29: warning: the page prints no mark at 1:1; nothing is removed; 'arsis check "
        "--printed' lists what there is"}},
  };
  Printed printed = marked_page();
  printed.dynamics.insert(printed.dynamics.begin(), dynamics_of("0 mf").front());
  for (const Complaint& row : rows) EXPECT_EQ(said(row.plan, printed), row.messages) << row.plan;
  const Complaint of_nothing[] = {
      {"dynamics: {remove: [{at: 2:1}]}",
       {"p:6:21: warning: the page prints no dynamic at 2:1; nothing is removed; the score prints "
        "none at all"}},
      {"marks: {remove: [{at: 2:1}]}",
       {"p:6:18: warning: the page prints no mark at 2:1; nothing is removed; the score prints "
        "none at all"}},
  };
  for (const Complaint& row : of_nothing) EXPECT_EQ(said(row.plan, {}), row.messages) << row.plan;
}

TEST(BindPage, BoundsTheWorkOfRemovals) {
  Printed printed;
  for (int i = 0; i < 5000; ++i) {
    printed.breaths.push_back({{1.0}, {false, true}, {i, 1}});
  }
  std::string plan = "marks:\n  remove:\n";
  for (int i = 0; i < 4500; ++i) plan += "    - {at: 1:2, mark: breath, part: right hand}\n";
  const std::vector<std::string> messages = said(plan, printed);
  ASSERT_FALSE(messages.empty());
  EXPECT_TRUE(messages.back().ends_with(
      "too much of the page is removed again and again; remove each entry once, or write a full "
      "list"))
      << messages.back();
}

}  // namespace
}  // namespace arsis
