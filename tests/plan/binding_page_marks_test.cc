// A page's marks, laid under a plan, and all that is said of removals from a page.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "plan/marks.h"
#include "plan/page_text.h"

namespace arsis {
namespace {

using test::bound;
using test::dynamics_of;
using test::kTwoHands;
using test::laid_over;
using test::line_of;
using test::marked_page;
using test::texts_of;

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

TEST(BindPageMarks, LetsThePagesMarksHoldBesideThoseThatThePlanAdds) {
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

TEST(BindPageMarks, KnowsWhereEachMarkIsWritten) {
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

TEST(BindPageMarks, SaysWhatIsWrongWithARemoval) {
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

TEST(BindPageMarks, BoundsTheWorkOfRemovalsAmongManyFermatas) {
  Printed printed;  // all over one note of the left hand
  for (int i = 0; i < 20'000; ++i) {
    printed.fermatas.push_back({{{0.0}, {1.0}}, {i, 1}});
    printed.marks.push_back({Mark::kFermata, 1, {i, 1}});
  }
  const std::vector<std::string> messages =
      said("marks: {remove: [{at: 1:1, mark: fermata, part: right hand}]}", printed);
  ASSERT_FALSE(messages.empty());
  EXPECT_TRUE(messages.back().ends_with(
      "too much of the page is removed again and again; remove each entry once, or write a full "
      "list"));
}

TEST(BindPageMarks, BoundsTheWorkOfRemovals) {
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
