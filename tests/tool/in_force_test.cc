// What `check` tells of dynamics and marks in force, and where each is written.
#include "tool/in_force.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "tool/lantern_steps.h"
#include "tool/run_arsis.h"

namespace arsis::test {
namespace {

const std::string kHands =
    "arsis: 1\n"
    "score: steps.musicxml\n"
    "parts:\n"
    "  - {name: right hand, track: 1, role: melody}\n"
    "  - {name: left hand, track: 2, role: bass}\n"
    "motif: {length: 1 bar, from: 1:3}\n"
    "sentences: [{phrases: [u / u]}]\n";

struct Bench : Folder {
  explicit Bench(const std::string& lines = "") {
    write("steps.musicxml", lantern_steps());
    write("plan.yaml", kHands + lines);
  }
};

// What follows the tree.
std::string sections(const std::string& out) {
  const std::size_t begin = std::min(out.find("\ndynamics\n"), out.find("\nmarks\n"));
  return begin == std::string::npos ? "" : out.substr(begin + 1);
}

TEST(InForce, TellsWhereThePagesDynamicsAndMarksAreWritten) {
  const Ran ran = Bench().arsis("check plan.yaml");
  EXPECT_EQ(ran.code, 0) << ran.err;
  EXPECT_EQ(sections(ran.out),
            "dynamics\n"
            "  1:1      mf                  steps.musicxml:9\n"
            "  2:1      dim to 2:4, mp      steps.musicxml:21\n"
            "  1:1/2nd  mf                  steps.musicxml:9\n"
            "  2:1/2nd  dim to 2:4/2nd, mp  steps.musicxml:21\n"
            "  3:1      p (right hand)      steps.musicxml:35\n"
            "  3:1      f (left hand)       steps.musicxml:42\n"
            "  3:2      p                   steps.musicxml:37\n"
            "\n"
            "marks\n"
            "  1:1      staccato to 1:3, 3 notes (right hand)      steps.musicxml:10\n"
            "  2:1      accent (right hand)                        steps.musicxml:22\n"
            "  2:4      tenuto (right hand)                        steps.musicxml:26\n"
            "  1:1/2nd  staccato to 1:3/2nd, 3 notes (right hand)  steps.musicxml:10\n"
            "  2:1/2nd  accent (right hand)                        steps.musicxml:22\n"
            "  2:4/2nd  tenuto (right hand)                        steps.musicxml:26\n"
            "  3:2      fp, 2 notes                                steps.musicxml:37\n"
            "  4:3      fermata                                    steps.musicxml:51\n");
}

TEST(InForce, TellsWhatThePlanChanges) {
  const Ran ran = Bench(
                      "dynamics:\n"
                      "  add:\n"
                      "    - {from: 2:1, to: 2:4, hairpin: cresc, mark: f}\n"
                      "    - {at: 4:1, mark: pp, part: left hand}\n"
                      "  remove:\n"
                      "    - {from: 1:1, to: 3:1}\n"
                      "    - {at: 3:2}\n"
                      "marks:\n"
                      "  - {from: 3:1, to: 3:4, mark: staccato, part: left hand}\n"
                      "  - {at: 4:1, mark: breath}\n"
                      "  - {at: 4:3, mark: fermata}\n")
                      .arsis("check plan.yaml");
  EXPECT_EQ(ran.code, 0) << ran.err;
  EXPECT_EQ(sections(ran.out),
            "dynamics\n"
            "  2:1      cresc to 2:4, f   plan.yaml:10\n"
            "  4:1      pp (left hand)    plan.yaml:11\n"
            "\n"
            "marks\n"
            "  3:1      staccato to 3:4, 4 notes (left hand)  plan.yaml:16\n"
            "  4:1      breath                                plan.yaml:17\n"
            "  4:3      fermata                               plan.yaml:18\n");
  const Ran added = Bench("dynamics: {add: [{from: 2:1, to: 2:4, hairpin: cresc, mark: f}]}\n")
                        .arsis("check plan.yaml");
  EXPECT_NE(added.out.find("  2:1      cresc to 2:4, f     plan.yaml:8, in place of "
                           "steps.musicxml:21\n"),
            std::string::npos)
      << added.out;
}

TEST(InForce, PrintsNoSectionOfNothing) {
  EXPECT_EQ(sections(Bench("dynamics: []\nmarks: []\n").arsis("check plan.yaml").out), "");
  Folder folder;
  copy_lantern(folder);
  EXPECT_EQ(sections(folder.arsis("check lantern-song.mid").out), "");
}

TEST(InForce, ShowsFortyOfEachUnlessAllAreAskedFor) {
  std::string marks = "marks:\n";
  for (int i = 0; i < 43; ++i) marks += "  - {at: 1:1, mark: accent}\n";
  const Bench bench(marks);
  const auto accents = [&](const std::string& words) {
    const std::string out = bench.arsis(words).out;
    std::size_t count = 0;
    for (std::size_t at = 0; (at = out.find(" accent, 2 notes ", at)) != std::string::npos; ++at) {
      ++count;
    }
    const bool more = out.find("  ... and 3 more; --printed shows all\n") != std::string::npos;
    return std::pair(count, more);
  };
  EXPECT_EQ(accents("check plan.yaml"), std::pair(std::size_t{40}, true));
  EXPECT_EQ(accents("check plan.yaml --printed"), std::pair(std::size_t{43}, false));
}

TEST(InForce, IsToldAsJsonToo) {
  const Bench bench("dynamics: {add: [{from: 2:1, to: 2:4, hairpin: cresc, mark: f}]}\n");
  const nlohmann::json json = nlohmann::json::parse(bench.arsis("check --json plan.yaml").out);
  const nlohmann::json& dynamics = json["dynamics"];
  ASSERT_EQ(dynamics.size(), 7u);
  EXPECT_EQ(dynamics[1].dump(),
            R"({"beat":4.0,"instead_of":{"column":29,"file":"steps.musicxml","line":21},)"
            R"("part":null,"position":"2:1","source":{"column":18,"file":"plan.yaml","line":8},)"
            R"("text":"cresc to 2:4, f","to":"2:4"})");
  const nlohmann::json& marks = json["marks"];
  ASSERT_EQ(marks.size(), 8u);
  EXPECT_EQ(marks[0]["text"], "staccato to 1:3, 3 notes");
  EXPECT_EQ(marks[0]["part"], "right hand");
  EXPECT_EQ(marks[0]["to"], "1:3");
  EXPECT_EQ(marks[7]["position"], "4:3");
  EXPECT_EQ(marks[7]["source"]["line"], 51);
}

Bars bars_of(const std::vector<std::pair<int, int>>& numbers_and_passes) {
  std::vector<Bar> bars;
  for (const auto& [number, pass] : numbers_and_passes) {
    const Beats begin{4.0 * static_cast<double>(bars.size())};
    bars.push_back({number, pass, {begin, begin + Beats{4.0}}, begin, {}});
  }
  return Bars::from(std::move(bars));
}

TEST(InForce, ExplainsTheBarsThatArePlayedAgain) {
  struct Row {
    std::vector<std::pair<int, int>> bars;
    const char* text;
  };
  const Row rows[] = {
      {{{1, 1}, {2, 1}}, ""},
      {{{1, 1}, {1, 2}}, "bar 1 is played twice: 1:1 is the first time, 1:1/2nd the second"},
      {{{0, 1}, {1, 1}, {2, 1}, {1, 2}, {2, 2}, {3, 1}},
       "bars 1 to 2 are played twice: 1:1 is the first time, 1:1/2nd the second"},
      {{{1, 1}, {1, 2}, {1, 3}, {2, 1}, {3, 1}, {3, 2}},
       "bar 1 is played three times, bar 3 twice: 1:1 is the first time, 1:1/2nd the second"},
      {{{1, 1}, {2, 1}, {1, 2}, {2, 2}, {2, 3}, {3, 1}, {4, 1}, {3, 2}, {4, 2}},
       "bar 1 is played twice, bar 2 three times, bars 3 to 4 twice: 1:1 is the first time, "
       "1:1/2nd the second"},
  };
  for (const Row& row : rows) EXPECT_EQ(repeats_text(bars_of(row.bars)), row.text);
  const std::string out = Bench().arsis("check plan.yaml").out;
  EXPECT_NE(out.find("bass, -2.5 dB)\nbars 1 to 2 are played twice: 1:1 is the first time, "
                     "1:1/2nd the second\n\n"),
            std::string::npos)
      << out;
}

}  // namespace
}  // namespace arsis::test
