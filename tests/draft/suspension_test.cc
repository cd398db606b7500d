// Appoggiaturas and suspensions by the textbook's rule (from memory).
#include "draft/suspension.h"

#include <gtest/gtest.h>

#include <vector>

namespace arsis {
namespace {

using Held = std::vector<std::uint8_t>;
const Held kTriad = {48, 52, 55};  // C3 E3 G3

std::optional<Dissonance> found(int note, int successor, double weight, double successor_weight,
                                const Held& held = kTriad,
                                std::optional<int> predecessor = std::nullopt) {
  return dissonance_of({.note = note,
                        .successor = successor,
                        .predecessor = predecessor,
                        .weight = weight,
                        .successor_weight = successor_weight,
                        .held = held});
}

// The four cases of the rule over a held triad, and what each rubs against.
TEST(Dissonance, OverAHeldTriadFollowsTheRule) {
  const auto seventh = found(71, 72, 1.0, 0.5);  // B4 to C5 on beat 1
  ASSERT_TRUE(seventh);
  EXPECT_EQ(seventh->kind, DissonanceKind::kAppoggiatura);
  EXPECT_EQ(seventh->over, 48);
  const auto fourth = found(65, 64, 1.0, 0.5);  // F4 to E4
  ASSERT_TRUE(fourth);
  EXPECT_EQ(fourth->over, 52);  // a semitone over E rather than a fourth over C
  EXPECT_FALSE(found(62, 64, 0.25, 0.5, kTriad, 60));  // D4, a weak eighth between C4 and E4
  const auto sixth = found(69, 67, 1.0, 0.5);          // A4 to G4
  ASSERT_TRUE(sixth);
  EXPECT_EQ(sixth->over, 55);
}

TEST(Dissonance, PreparedByTheSamePitchIsASuspension) {
  EXPECT_EQ(found(65, 64, 1.0, 0.5, kTriad, 65)->kind, DissonanceKind::kSuspension);
  EXPECT_EQ(found(65, 64, 1.0, 0.5, kTriad, 67)->kind, DissonanceKind::kAppoggiatura);
}

TEST(Dissonance, ResolvesByStepIntoConsonance) {
  EXPECT_FALSE(found(65, 60, 1.0, 0.5));                    // by leap
  EXPECT_FALSE(found(65, 65, 1.0, 0.5));                    // not at all
  EXPECT_FALSE(found(65, 66, 1.0, 0.5));                    // into another dissonance
  EXPECT_FALSE(found(64, 62, 1.0, 0.5));                    // from consonance
  EXPECT_FALSE(found(65, 64, 1.0, 0.5, Held{}));            // over nothing
  EXPECT_TRUE(found(65, 64, 1.0, 0.5, Held{48}));           // a fourth over the bass alone
  EXPECT_FALSE(found(65, 64, 1.0, 0.5, Held{41, 48, 57}));  // a fourth over an inner note
}

TEST(Clash, NamesTheSharpestRub) {
  EXPECT_EQ(clash(71, Held{60, 69, 65}), 60);  // a major seventh before a tritone
  EXPECT_EQ(clash(71, Held{69, 65}), 65);      // a tritone before a major second
  EXPECT_EQ(clash(71, Held{66, 69}), 69);      // that before a fourth over the lowest
  EXPECT_EQ(clash(71, Held{66, 75}), 66);
  EXPECT_FALSE(clash(71, Held{59, 62, 67}));
}

}  // namespace
}  // namespace arsis
