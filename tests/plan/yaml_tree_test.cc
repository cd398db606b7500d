// YAML that could hide a mistake, or hurt: refused, with its place.
#include "plan/yaml_tree.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "plan/plan_text.h"

namespace arsis {
namespace {

using test::complaints;
using test::kWholePlan;
using test::plan_of;
using Row = test::ComplaintRow;

TEST(YamlTree, RefusesWhatAPlanHasNoUseFor) {
  const Row rows[] = {
      {"", {"p: is empty; a plan begins with 'arsis: 1'"}},
      {"# only a comment", {"p: is empty; a plan begins with 'arsis: 1'"}},
      {"just text",
       {"p:1:1: a plan cannot be 'just text'; write a map with arsis, title, score, pickup, parts, "
        "levels, dynamics, marks, motif, sentences, main or shape"}},
      {"- a list",
       {"p:1:1: a plan cannot be a list; write a map with arsis, title, score, pickup, parts, "
        "levels, dynamics, marks, motif, sentences, main or shape"}},
      {"arsis: 1\narsis: 1", {"p:2:1: 'arsis' is given twice; keep one; the first is in line 1"}},
      {"a: {b: 1, b: 2}", {"p:1:11: 'b' is given twice; keep one; the first is in line 1"}},
      {"arsis: 1\n---\narsis: 1",
       {"p:2:1: a second document starts here; a plan is one document; remove '---', or indent "
        "this line"}},
      {"- a\nb",
       {"p:2:1: a second document starts here; a plan is one document; remove '---', or indent "
        "this line"}},
      {"title: \"open", {"p:1:13: ends inside a quote, a bracket or a brace; close what is open"}},
      {"title: 'open\nscore: a",
       {"p:2:9: ends inside a quote, a bracket or a brace; close what is open"}},
      {"title: [a", {"p:1:10: ends inside a quote, a bracket or a brace; close what is open"}},
      {"title: {a: b\n\n",
       {"p:1:13: ends inside a quote, a bracket or a brace; close what is open"}},
      {"title: !!str x",
       {"p:1:8: a tag ('tag:yaml.org,2002:str') has no place in a plan; leave it out"}},
      {"title: !song x", {"p:1:8: a tag ('!song') has no place in a plan; leave it out"}},
      {"title: &a x\nscore: *a",
       {"p:1:8: an anchor ('&') has no place in a plan; write the value out, or use 'like:' for a "
        "sentence",
        "p:2:8: an alias ('*') has no place in a plan; write the value out, or use 'like:' for a "
        "sentence"}},
      {"title: &a [*a]",
       {"p:1:8: an anchor ('&') has no place in a plan; write the value out, or use 'like:' for a "
        "sentence",
        "p:1:12: an alias ('*') has no place in a plan; write the value out, or use 'like:' for a "
        "sentence"}},
      {"a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]",
       {"p:1:4: an anchor ('&') has no place in a plan; write the value out, or use 'like:' for a "
        "sentence",
        "p:2:4: an anchor ('&') has no place in a plan; write the value out, or use 'like:' for a "
        "sentence",
        "p:2:8: an alias ('*') has no place in a plan; write the value out, or use 'like:' for a "
        "sentence",
        "p:2:12: an alias ('*') has no place in a plan; write the value out, or use 'like:' for a "
        "sentence",
        "p:3:5: an alias ('*') has no place in a plan; write the value out, or use 'like:' for a "
        "sentence",
        "p:3:9: an alias ('*') has no place in a plan; write the value out, or use 'like:' for a "
        "sentence"}},
      {"? [a]\n: b",
       {"p:1:3: a list or a map cannot be a key; close its bracket, or write a word, then ':'"}},
      {"? {a: b}\n: b",
       {"p:1:3: a list or a map cannot be a key; close its bracket, or write a word, then ':'"}},
  };
  for (const Row& row : rows) EXPECT_EQ(complaints(row.plan + "\n"), row.messages) << row.plan;
}

// The words in the brackets are yaml-cpp's own and differ between its versions.
TEST(YamlTree, SaysWhereATextStopsBeingYaml) {
  struct Broken {
    std::string plan;
    std::string beginning;
  };
  const Broken rows[] = {
      {"a: *nowhere", "p:1:4: is not YAML here ("},
      {"a: [b\nc: d", "p:2:2: is not YAML here ("},
      {"a: b: c", "p:1:5: is not YAML here ("},
      {"a:\n  b: c\n d: e", "p:3:2: is not YAML here ("},
      {"title: 'it's'", "p:1:12: is not YAML here ("},
      {"title: @x", "p:1:8: is not YAML here ("},
      {"a: [b]]", "p:1:7: is not YAML here ("},
      {"a:\n\t- b", "p:2:2: is not YAML here ("},
  };
  for (const Broken& row : rows) {
    const auto messages = complaints(row.plan + "\n");
    ASSERT_EQ(messages.size(), 1u) << row.plan;
    EXPECT_EQ(messages[0].substr(0, row.beginning.size()), row.beginning);
    EXPECT_TRUE(messages[0].ends_with(
        "); check quotes, brackets, and that lines are indented with blanks, not tabs"))
        << messages[0];
  }
}

TEST(YamlTree, RefusesTextThatIsNoUtf8) {
  const std::string remedy = "; save the plan as plain text in UTF-8";
  EXPECT_EQ(complaints("title: Gr\xFC\xDF"
                       "e\n"),
            std::vector<std::string>{"p:1:10: is not UTF-8 here" + remedy});
  EXPECT_EQ(complaints("a: \xC3\xBC\nb: \xC3\xBC\xFF\n"),
            std::vector<std::string>{"p:2:5: is not UTF-8 here" + remedy});
  EXPECT_EQ(complaints(std::string("arsis: 1\0\n", 10)),
            std::vector<std::string>{"p: is not text (it holds a zero byte)" + remedy});
  EXPECT_EQ(complaints(std::string("\xFF\xFE"
                                   "a\0:\0",
                                   6)),  // UTF-16
            std::vector<std::string>{"p: is not text (it holds a zero byte)" + remedy});
}

TEST(YamlTree, CountsColumnsInCharactersAsAnEditorDoes) {
  EXPECT_EQ(
      complaints(kWholePlan + "marks: [{part: H\xC3\xA4nde, mark: accent, at: x}]\n"),
      std::vector<std::string>{"p:5:41: at cannot be 'x'; write bar:beat, such as 9:3, 9:3.5 or "
                               "9:3+1/3"});
}

TEST(YamlTree, ReadsWhatEditorsOnOtherSystemsWrite) {
  std::string windows = "\xEF\xBB\xBF";
  for (const char c : kWholePlan) windows += c == '\n' ? "\r\n" : std::string(1, c);
  EXPECT_EQ(plan_of(windows).score, "a.mid");
  EXPECT_EQ(complaints(windows + "x: 1\r\n").at(0).substr(0, 6), "p:5:1:");
}

TEST(YamlTree, ReadsBlockAndFlowAlike) {
  const Plan block = plan_of(
      "arsis: 1\nscore: 'a: b.mid'\nmotif:\n  length: 1 bar\n  from: 0:3\n"
      "sentences:\n- phrases:\n  - u / u\n  - \"/ u\"\n  main: 1\n");
  EXPECT_EQ(block.score, "a: b.mid");
  EXPECT_EQ(block.sentences.at(0).phrases.at(1).motifs.size(), 2u);
  EXPECT_EQ(block.cell_from->place, (Place{5, 9}));
}

TEST(YamlTree, IsBoundedInDepthSizeAndCount) {
  std::string deep;
  for (int i = 0; i < 17; ++i) deep += "{a: ";
  EXPECT_EQ(complaints(deep + "b" + std::string(17, '}') + "\n"),
            std::vector<std::string>{"p:1:65: nested too deeply; at most 16 levels are read"});
  for (const char* bracket : {"[", "{", "- ", "? "}) {
    std::string open = "a: ";
    for (int i = 0; i < 100'000; ++i) open += bracket;
    EXPECT_EQ(complaints(open).size(), 1u) << bracket;
  }
  EXPECT_EQ(complaints(std::string(kMostYamlBytes + 1, ' ')),
            std::vector<std::string>{"p: too large for a plan; at most 4194304 bytes are read"});
  std::string many = "a: [";
  for (std::size_t i = 0; i < kMostYamlNodes; ++i) many += "1,";
  EXPECT_TRUE(complaints(many + "]").at(0).ends_with("too many values; at most 500000 are read"));
}

TEST(YamlTree, ComplainsAtMostAHundredTimes) {
  std::string twice;
  std::string unknown;
  for (int i = 0; i < 1000; ++i) {
    twice += "a: 1\n";
    unknown += "key" + std::to_string(i) + ": 1\n";
  }
  EXPECT_EQ(complaints(twice).size(), 100u);
  EXPECT_EQ(complaints(kWholePlan + unknown).size(), 100u);
}

}  // namespace
}  // namespace arsis
