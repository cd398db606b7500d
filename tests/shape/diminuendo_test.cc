// Growth inside a written diminuendo: held down in loudness, heard as time.
#include "shape/diminuendo.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "plan/plan_reader.h"
#include "score_builder.h"
#include "shape/perform.h"

namespace arsis {
namespace {

// Four bars of quarter notes; a phrase that grows to its last motif under a slow diminuendo.
Shaped play(const std::string& diminuendo) {
  const Score score = test::score_of(test::repeated("C5 D5 E5 F5", 4));
  const Result<Plan> plan = parse_plan(
      "arsis: 1\nscore: x.mid\nparts: [{name: r, track: 1, role: melody}]\n"
      "dynamics:\n  - {at: 1:1, mark: f}\n  - {from: 1:1, to: 4:1, hairpin: dim}\n"
      "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u u u /], main: 1}]\n"
      "shape: {keep: off, diminuendo: " +
          diminuendo + "}\n",
      "p.yaml");
  EXPECT_TRUE(plan);
  const Result<BoundPlan> bound = bind_plan(*plan, score);
  EXPECT_TRUE(bound);
  return perform(score, *bound);
}

constexpr std::size_t kLastInside = 12;  // the note at 4:1

TEST(Diminuendo, HoldsTheLevelDownAndTurnsItsRiseIntoTime) {
  const Shaped broadened = play("broaden");
  const Shaped swelling = play("swell");
  bool swells = false;
  for (std::size_t i = 1; i <= kLastInside; ++i) {
    EXPECT_LE(broadened.levels[i].arc_level, broadened.levels[i - 1].arc_level) << i;
    swells = swells || swelling.levels[i].arc_level > swelling.levels[i - 1].arc_level;
    EXPECT_LE(swelling.levels[i].arc_level, swelling.levels[i].ceiling);
  }
  EXPECT_TRUE(swells);
  const auto length = [](const Shaped& shaped) {
    return (shaped.performance.notes[kLastInside].onset - shaped.performance.notes[0].onset).value;
  };
  EXPECT_GT(length(broadened), 1.025 * length(swelling));  // more than a listener needs to notice
}

TEST(Diminuendo, EndsWithItsHairpin) {
  const Shaped broadened = play("broaden");
  const Shaped swelling = play("swell");
  for (std::size_t i = kLastInside + 1; i < broadened.levels.size(); ++i) {
    EXPECT_EQ(broadened.levels[i].arc_level, swelling.levels[i].arc_level) << i;
    const auto interval = [&](const Shaped& shaped) {
      return (shaped.performance.notes[i].onset - shaped.performance.notes[i - 1].onset).value;
    };
    if (i > kLastInside + 1) {
      EXPECT_NEAR(interval(broadened), interval(swelling), 1e-9) << i;
    }
  }
}

TEST(Withheld, InterpolatesBetweenItsSamplesAndIsNoughtOutside) {
  const Withheld withheld({{{1.0}, {0.0}}, {{2.0}, {2.0}}, {{3.0}, {0.0}}});
  EXPECT_EQ(withheld.at({0.5}).value, 0.0);
  EXPECT_EQ(withheld.at({1.5}).value, 1.0);
  EXPECT_EQ(withheld.at({2.0}).value, 2.0);
  EXPECT_EQ(withheld.at({4.0}).value, 0.0);
  EXPECT_EQ(Withheld().at({1.0}).value, 0.0);
}

}  // namespace
}  // namespace arsis
