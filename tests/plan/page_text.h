// A score of two hands, pages for it as text, and plans laid over both.
#pragma once

#include <gtest/gtest.h>

#include <sstream>
#include <string>
#include <vector>

#include "base/text.h"
#include "plan/plan_text.h"
#include "score_builder.h"

namespace arsis::test {

// Two hands in 4/4, four bars of quarter notes each: the note of beat b is 2 b in the right hand,
// and 2 b + 1 in the left.
inline Score two_hands() {
  return score_of(ScoreText{.parts = {repeated("C5", 16), repeated("C3", 16)},
                            .names = {"right hand", "left hand"}});
}

inline const std::string kTwoHands =
    kWholePlan + "parts: [{name: right hand, role: melody}, {name: left hand, role: bass}]\n";

// "0 p, 4-8 <f right, 8-12 >": moments in quarter notes; a mark, or a hairpin with or without the
// mark that it ends on; the staff, or both. Entries stand in lines 101, 102 ... of the page.
inline std::vector<PrintedDynamic> dynamics_of(const std::string& text) {
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

inline Printed page(const std::string& dynamics) {
  Printed printed;
  printed.file = "page";
  printed.dynamics = dynamics_of(dynamics);
  return printed;
}

// A page of marks: on notes 0 (accent), 9 (tenuto), 12 (staccato) and 14 (fp with its piano), a
// fermata over both notes of beat 15, one over a rest at beat 10, a breath at beat 8.
inline Printed marked_page() {
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

inline Result<BoundPlan> laid_over(const std::string& plan, const Printed& printed) {
  return bind_plan(plan_of(plan), two_hands(), printed);
}

inline BoundPlan bound(const std::string& plan, const Printed& printed) {
  Result<BoundPlan> result = laid_over(plan, printed);
  EXPECT_TRUE(result) << ::testing::PrintToString(texts_of(result.diagnostics()));
  return result ? *std::move(result) : BoundPlan{};
}

inline std::string line_of(const DynamicLine& line) {
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

inline std::string line_of(const BoundPlan& plan, std::size_t part) {
  return line_of(plan.dynamics[plan.parts[part].dynamics]);
}

}  // namespace arsis::test
