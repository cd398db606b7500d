// A page's dynamics, laid under a plan: which of both holds, what is removed, where each is from.
#include <gtest/gtest.h>

#include <span>
#include <string>
#include <vector>

#include "plan/page_text.h"

namespace arsis {
namespace {

using test::bound;
using test::kTwoHands;
using test::laid_over;
using test::line_of;
using test::page;
using test::texts_of;

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
      {"a sudden piano", "0 p, 4-8 <, 8 p", "", "0 p, 4-8 p<mp, 8 p", "0 p, 4-8 p<mp, 8 p"},
      {"a sudden forte", "0 f, 4-8 >, 8 f", "", "0 f, 4-8 f>mf, 8 f", "0 f, 4-8 f>mf, 8 f"},
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
      {"what a dropped hairpin of a staff had dropped", "0 p, 8 mf, 6-10 <f left",
       "{add: [{at: 2:4, mark: ff}]}", "0 p, 7 ff, 8 mf", "0 p, 7 ff, 8 mf"},
      {"where the page's hairpin leads", "0 p, 4-8 <, 8 f", "{add: [{at: 3:1, mark: ff}]}",
       "0 p, 4-8 p<ff, 8 ff", "0 p, 4-8 p<ff, 8 ff"},
  };
  expect_lines(kRows);
}

TEST(BindPage, DropsWhatThePlanRemoves) {
  constexpr const char* kPage = "0 p, 4 mf, 4-8 <f, 8-12 >, 12 p left";
  constexpr Row kRows[] = {
      {"all that begins at a place", kPage, "{remove: [{at: 2:1}]}", "0 p, 8-12 p>pp",
       "0 p, 8-12 p>pp, 12 p"},
      {"a mark by its name", kPage, "{remove: [{at: 2:1, mark: mf}]}", "0 p, 4-8 p<f, 8-12 f>mf",
       "0 p, 4-8 p<f, 8-12 f>p, 12 p"},
      {"no hairpin by the mark that it ends on", kPage, "{remove: [{at: 2:1, mark: f}]}",
       "0 p, 4 mf, 4-8 mf<f, 8-12 f>mf", "0 p, 4 mf, 4-8 mf<f, 8-12 f>p, 12 p"},
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
      {"0 f, 4-8 <p",
       "",
       {"page:102:7: warning: this crescendo does not end louder than it begins; check the marks "
        "at both its ends"}},
      {"0 f, 4-8 <p", "{remove: [{at: 2:1}]}", {}},
      {"0 f, 4-8 <p, 12 mf left",
       "",
       {"page:102:7: warning: this crescendo does not end louder than it begins; check the marks "
        "at both its ends"}},
      {"0 f, 4-8 <p, 8 f, 9-10 <p, 11 f, 11-12 <p",
       "",
       {"page:102:7: warning: this crescendo does not end louder than it begins (2 more like it); "
        "check the marks at both its ends"}},
      // Of two parts that it holds for, it is asked about once; the plan's come first.
      {"0 f, 4-8 <p, 12 mf left",
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

}  // namespace
}  // namespace arsis
