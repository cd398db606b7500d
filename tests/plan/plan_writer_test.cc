// Plans written as text: read back they say the same.
#include "plan/plan_writer.h"

#include <gtest/gtest.h>

#include "plan/plan_text.h"
#include "plan/random_plan.h"
#include "plan/same_plan.h"

namespace arsis {
namespace {

using test::holds;
using test::plan_of;
using test::said;

TEST(PlanWriter, WritesWhatIsReadBackAsTheSamePlan) {
  EXPECT_TRUE(holds(2000, [] {
    const Plan plan = test::random_plan();
    const std::string text = plan_text(plan);
    const Result<Plan> read = parse_plan(text, "p");
    if (!read) RC_FAIL(to_string(read.diagnostics().front()) + "\n" + text);
    RC_ASSERT(said(*read) == said(plan));
    RC_ASSERT(plan_text(*read) == text);
  }));
}

// Remarks may hold anything at all.
TEST(PlanWriter, LetsNoRemarkChangeThePlan) {
  EXPECT_TRUE(holds(500, [] {
    const Plan plan = test::random_plan();
    PlanRemarks remarks;
    const auto any = [] { return *rc::gen::arbitrary<std::string>(); };
    remarks.head = {any(), "a\nmain: 9", ""};
    remarks.cell = any();
    remarks.main = any() + "\r\n\xC2\x85x: 1";
    remarks.tail = {any()};
    for (std::size_t i = 0; i < plan.sentences.size(); ++i) remarks.sentences.push_back({any()});
    for (std::size_t i = 0; i < plan.parts.size(); ++i) remarks.parts.push_back(any());
    const Result<Plan> read = parse_plan(plan_text(plan, remarks), "p");
    RC_ASSERT(static_cast<bool>(read));
    RC_ASSERT(said(*read) == said(plan));
  }));
}

TEST(PlanWriter, WritesShortFormsAMusicianWouldWrite) {
  const std::string text =
      "arsis: 1\n"
      "title: \"Dusk: a study\"\n"
      "score: ../scores/dusk.mid\n"
      "pickup: 1/2 beat\n"
      "parts:\n"
      "  - {name: right hand, track: 1, hand: right, role: melody}\n"
      "  - {name: left hand, track: 1, hand: left, role: accompaniment, balance: -4.5 dB}\n"
      "levels: {1: -60 dB, 127: 0 dB}\n"
      "dynamics:\n"
      "  - {at: 0:3, mark: mf}\n"
      "  - {from: 5:1, to: 8:1, hairpin: dim, mark: p, part: right hand}\n"
      "marks:\n"
      "  remove:\n"
      "    - {at: 4:1+1/3, mark: tenuto}\n"
      "motif: {length: 1 bar, from: 0:3}\n"
      "sentences:\n"
      "  - {phrases: [u / u, u /], main: 1}\n"
      "  - {phrases: [/]}\n"
      "  - {like: 1, main: 2}\n"
      "  - phrases:\n"
      "      - / u\n"
      "      - {motifs: [u, {to: 9:2/2nd, goal: 9:1/2nd, main: true}]}\n"
      "      - {feet: u /, shape: {phrase: {depth: 5 dB}}}\n"
      "    main: 2\n"
      "    from: 9:3\n"
      "main: 2\n"
      "shape: {motif: {depth: 2 dB, linger: 1 %}, floor: -40 dB, diminuendo: swell, keep: bar}\n";
  EXPECT_EQ(plan_text(plan_of(text)), text);
}

TEST(PlanWriter, PutsRemarksWhereTheyBelong) {
  const Plan plan = plan_of(
      "arsis: 1\nscore: a.mid\nparts: [{name: a, role: melody}]\n"
      "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u /]}, {like: 1}]\nmain: 1\n");
  PlanRemarks remarks;
  remarks.head = {"one", ""};
  remarks.parts = {"high"};
  remarks.cell = "cell";
  remarks.sentences = {{"first", "  of it"}};
  remarks.main = "leads";
  remarks.tail = {"end"};
  EXPECT_EQ(plan_text(plan, remarks),
            "# one\n#\narsis: 1\nscore: a.mid\nparts:\n  - {name: a, role: melody}  # high\n"
            "# cell\nmotif: {length: 1 bar, from: 1:1}\nsentences:\n  # first\n  #   of it\n"
            "  - {phrases: [u /]}\n  - {like: 1, main: 1}\n# leads\nmain: 1\n# end\n");
}

}  // namespace
}  // namespace arsis
