// The felt beat and how strong a place in the bar is (common practice, no source; our numbers).
#include "draft/metre.h"

#include <gtest/gtest.h>

#include <vector>

namespace arsis {
namespace {

TEST(Pulse, IsThreeUnitsInCompoundTime) {
  EXPECT_EQ(pulse_of({4, 4}), Beats{1.0});
  EXPECT_EQ(pulse_of({3, 4}), Beats{1.0});
  EXPECT_EQ(pulse_of({2, 2}), Beats{2.0});
  EXPECT_EQ(pulse_of({3, 8}), Beats{0.5});
  EXPECT_EQ(pulse_of({6, 8}), Beats{1.5});
  EXPECT_EQ(pulse_of({12, 8}), Beats{1.5});
  EXPECT_EQ(pulse_of({6, 4}), Beats{3.0});
  EXPECT_EQ(pulse_of({5, 4}), Beats{1.0});
}

TEST(MetricalWeight, IsGreatestOnTheDownbeat) {
  struct Row {
    TimeSignature signature;
    double at;
    double weight;
  };
  const std::vector<Row> rows = {
      {{4, 4}, 0.0, 1.0},        {{4, 4}, 1.0, 0.5},    {{4, 4}, 2.0, 0.75},  {{4, 4}, 3.0, 0.5},
      {{4, 4}, 0.5, 0.25},       {{4, 4}, 0.25, 0.125}, {{4, 4}, 4.0, 1.0},   {{4, 4}, 6.0, 0.75},
      {{3, 4}, 1.0, 0.5},        {{3, 4}, 2.0, 0.5},    {{2, 4}, 1.0, 0.5},   {{6, 8}, 1.5, 0.5},
      {{6, 8}, 0.5, 0.25},       {{6, 8}, 0.75, 0.125}, {{12, 8}, 3.0, 0.75}, {{12, 8}, 1.5, 0.5},
      {{3, 4}, 1.0 / 3.0, 0.125}};
  for (const auto& [signature, at, weight] : rows) {
    const std::vector<TimeSignatureChange> changes = {{{0.0}, signature}};
    const Bars bars = Bars::of(changes, {12.0});
    EXPECT_EQ(metrical_weight(bars, {at}), weight)
        << signature.beats << '/' << signature.beat_unit << " at " << at;
  }
}

TEST(MetricalWeight, InAPickupCountsFromTheBarLineThatItLeadsTo) {
  const Bars bars = Bars::of({}, {9.0}, Beats{1.0});
  EXPECT_EQ(metrical_weight(bars, {0.0}), 0.5);  // beat 4
  EXPECT_EQ(metrical_weight(bars, {1.0}), 1.0);
  EXPECT_EQ(metrical_weight(bars, {3.0}), 0.75);
}

}  // namespace
}  // namespace arsis
