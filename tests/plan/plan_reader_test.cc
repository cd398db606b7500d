// A plan as a whole: every key at its top, all complaints of a file at once, files on disk.
#include <gtest/gtest.h>

#include <fstream>
#include <string>
#include <vector>

#include "plan/plan_text.h"

namespace arsis {
namespace {

using test::complaints;
using test::kWholePlan;
using test::plan_of;
using Row = test::ComplaintRow;

TEST(PlanReader, ReadsEveryKeyAtTheTop) {
  const Plan plan = plan_of(
      "arsis: 1\n"
      "title: \"Ferry, at night\"\n"
      "score: ../scores/ferry.mid\n"
      "pickup: 1/2 beat\n"
      "parts: [{name: all, track: 1, role: melody}]\n"
      "dynamics: [{at: 0:1, mark: p}]\n"
      "marks: [{at: 1:1, mark: tenuto}]\n"
      "motif: {length: 2 bars, from: 0:4.5}\n"
      "sentences: [{phrases: [u /]}, {phrases: [/ u]}]\n"
      "main: 2\n"
      "shape: {keep: bar}\n");
  EXPECT_EQ(plan.file, "p");
  EXPECT_EQ(plan.title, "Ferry, at night");
  EXPECT_EQ(plan.score, "../scores/ferry.mid");
  EXPECT_EQ(plan.score_place, (Place{3, 8}));
  EXPECT_EQ(plan.pickup->number, 0.5);
  EXPECT_EQ(plan.pickup->unit, WrittenLength::Unit::kBeat);
  EXPECT_EQ(plan.parts.size(), 1u);
  EXPECT_EQ(plan.dynamics.size(), 1u);
  EXPECT_EQ(plan.marks.size(), 1u);
  EXPECT_EQ(plan.cell->number, 2.0);
  EXPECT_EQ(plan.cell->unit, WrittenLength::Unit::kBar);
  EXPECT_EQ(plan.cell_from->position.beat, 4.5);
  EXPECT_EQ(plan.sentences.size(), 2u);
  EXPECT_EQ(plan.sentences_place, (Place{9, 12}));
  EXPECT_EQ(plan.main, 1u);
  EXPECT_EQ(plan.main_place, (Place{10, 7}));
  EXPECT_EQ(plan.shape.keep, Keep::kBar);
}

TEST(PlanReader, ReadsLengthsInBarsAndBeats) {
  using enum WrittenLength::Unit;
  struct Length {
    const char* text;
    double number;
    WrittenLength::Unit unit;
  };
  constexpr Length kLengths[] = {{"1 bar", 1.0, kBar},          {"2 bars", 2.0, kBar},
                                 {"1bar", 1.0, kBar},           {"1/2 bar", 0.5, kBar},
                                 {"3 beats", 3.0, kBeat},       {"1.5 beat", 1.5, kBeat},
                                 {"0.001 beats", 0.001, kBeat}, {"1000 bars", 1000.0, kBar}};
  for (const auto& [text, number, unit] : kLengths) {
    const Plan plan = plan_of(kWholePlan + "pickup: " + text + "\n");
    EXPECT_EQ(plan.pickup->number, number) << text;
    EXPECT_EQ(plan.pickup->unit, unit) << text;
  }
  for (const char* bad :
       {"-1 bar", "0.0001 bars", "1 barss", "bar", "1/0 bar", "1e1 bars", "1 Bar"}) {
    EXPECT_EQ(complaints(kWholePlan + "pickup: " + bad + "\n").size(), 1u) << bad;
  }
}

TEST(PlanReader, SaysWhatIsMissing) {
  const Row rows[] = {
      {"arsis: 2\nscore: a.mid\nsentences: [{phrases: [/]}]",
       {"p:1:8: the format's version cannot be '2'; write 1"}},
      {"arsis: one\nscore: a.mid\nsentences: [{phrases: [/]}]",
       {"p:1:8: the format's version cannot be 'one'; write 1"}},
      {"score: a.mid\nsentences: [{phrases: [/]}]", {"p:1:1: a plan lacks 'arsis'; add 'arsis:'"}},
      {"arsis: 1\nsentences: [{phrases: [/]}]", {"p:1:1: a plan lacks 'score'; add 'score:'"}},
      {"arsis: 1\nscore: a.mid", {"p:1:1: a plan lacks 'sentences'; add 'sentences:'"}},
      {"arsis: 1\nscore:\nsentences: [{phrases: [/]}]",
       {"p:2:1: score cannot be nothing; write text on one line"}},
  };
  for (const Row& row : rows) EXPECT_EQ(complaints(row.plan + "\n"), row.messages) << row.plan;
}

TEST(PlanReader, SaysWhatIsWrongAtTheTop) {
  const Row rows[] = {
      {"titel: x", {"p:5:1: a plan has no key 'titel'; did you mean 'title'?"}},
      {"sentence: x", {"p:5:1: a plan has no key 'sentence'; did you mean 'sentences'?"}},
      {"colour: red",
       {"p:5:1: a plan has no key 'colour'; its keys are arsis, title, score, pickup, parts, "
        "levels, dynamics, marks, motif, sentences, main or shape"}},
      {"title:", {"p:5:1: title cannot be nothing; write text on one line"}},
      {"title: [a]", {"p:5:8: title cannot be a list; write text on one line"}},
      {"title: \"a\\nb\"", {"p:5:8: title cannot be 'a?b'; write text on one line"}},
      {"title: \"a\\e[2Jb\"", {"p:5:8: title cannot be 'a?[2Jb'; write text on one line"}},
      {"pickup: 1",
       {"p:5:9: pickup cannot be '1'; write a length in bars or beats, such as 1 bar or 1/2 beat"}},
      {"pickup: 0 beats",
       {"p:5:9: pickup cannot be '0 beats'; write a length in bars or beats, such as 1 bar or 1/2 "
        "beat"}},
      {"pickup: 1 second",
       {"p:5:9: pickup cannot be '1 second'; write a length in bars or beats, such as 1 bar or 1/2 "
        "beat"}},
      {"pickup: 2000 bars",
       {"p:5:9: pickup cannot be '2000 bars'; write a length in bars or beats, such as 1 bar or "
        "1/2 beat"}},
      {"pickup: [1 bar]",
       {"p:5:9: pickup cannot be a list; write a length in bars or beats, such as 1 bar or 1/2 "
        "beat"}},
      {"main: 2", {"p:5:7: main cannot be '2'; write 1"}},
      {"main: first", {"p:5:7: main cannot be 'first'; write 1"}},
      {"main:", {"p:5:1: main cannot be nothing; write 1"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(kWholePlan + row.plan + "\n"), row.messages) << row.plan;
}

TEST(PlanReader, SaysWhatIsWrongWithTheCell) {
  const std::string before = "arsis: 1\nscore: a.mid\nsentences: [{phrases: [u /]}]\n";
  const Row rows[] = {
      {"motif: 1 bar",
       {"p:4:8: the motif cell cannot be '1 bar'; write a map with length or from"}},
      {"motif: {}",
       {"p:4:8: the motif cell lacks 'length'; add 'length:'",
        "p:4:8: the motif cell lacks 'from'; add 'from:'"}},
      {"motif: {length: 1 bar, form: 1:1}",
       {"p:4:8: the motif cell lacks 'from'; add 'from:'",
        "p:4:24: the motif cell has no key 'form'; did you mean 'from'?"}},
      {"motif: {length: bar, from: upbeat}",
       {"p:4:17: length cannot be 'bar'; write a length in bars or beats, such as 1 bar or 1/2 "
        "beat",
        "p:4:28: from cannot be 'upbeat'; write bar:beat, such as 9:3, 9:3.5 or 9:3+1/3"}},
  };
  for (const Row& row : rows)
    EXPECT_EQ(complaints(before + row.plan + "\n"), row.messages) << row.plan;
}

TEST(PlanReader, SaysAllThatIsWrongAtOnceInOrder) {
  EXPECT_EQ(
      complaints("arsis: 1\n"
                 "titel: Ferry\n"
                 "score: ferry.mid\n"
                 "shape: {motif: {depth: 3}}\n"
                 "parts:\n"
                 "  - {name: right hand, rolle: melody}\n"
                 "motif: {length: 1 bar, from: 0}\n"
                 "sentences:\n"
                 "  - {phrases: [u u, / u]}\n"
                 "main: 3\n"
                 "marks: [{at: 1:1, mark: tenutto}]\n"),
      (std::vector<std::string>{
          "p:2:1: a plan has no key 'titel'; did you mean 'title'?",
          "p:4:24: depth '3' lacks a unit; write 0 dB to 12 dB, with the unit",
          "p:6:5: a part lacks 'role'; add 'role:'",
          "p:6:24: a part has no key 'rolle'; did you mean 'role'?",
          "p:7:30: from cannot be '0'; write bar:beat, such as 9:3, 9:3.5 or 9:3+1/3",
          "p:9:5: a sentence without a main phrase; add main: 1 to 2",
          "p:9:16: a phrase without a main motif; mark exactly one: '/' in feet, main: true in the "
          "long form",
          "p:10:7: main cannot be '3'; write 1",
          "p:11:25: mark cannot be 'tenutto'; did you mean 'tenuto'?"}));
}

TEST(PlanReader, ReadsAFileAndFindsItsScoreBesideIt) {
  const auto path = std::filesystem::path(::testing::TempDir()) / "arsis-plan-reader-test.yaml";
  std::ofstream(path) << kWholePlan;
  const Result<Plan> plan = read_plan(path);
  ASSERT_TRUE(plan);
  EXPECT_EQ(score_path(*plan), std::filesystem::path(::testing::TempDir()) / "a.mid");
  std::filesystem::remove(path);
  EXPECT_EQ(
      test::texts_of(read_plan(path).diagnostics()),
      std::vector<std::string>{path.string() + ": no such file; check the name and the folder"});
}

TEST(PlanReader, FindsTheScoreFromThePlansOwnFolder) {
  Plan plan;
  plan.file = "plans/song.yaml";
  plan.score = "../examples/song.mid";
  EXPECT_EQ(score_path(plan), "examples/song.mid");
  plan.file = "song.yaml";
  plan.score = "song.mid";
  EXPECT_EQ(score_path(plan), "song.mid");
  plan.score = "/music/song.mid";
  EXPECT_EQ(score_path(plan), "/music/song.mid");
}

}  // namespace
}  // namespace arsis
