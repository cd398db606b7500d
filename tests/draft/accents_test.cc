// Accents of length and of contour against their published formulas.
#include "draft/accents.h"

#include <gtest/gtest.h>

#include <vector>

namespace arsis {
namespace {

// Parncutt 1994, Music Perception 11:409-464: the formula with its saturation of 0.5 s and exponent
// 2; values computed from it.
TEST(DurationalAccent, IsParncutts) {
  struct Row {
    double seconds;
    double accent;
  };
  constexpr Row kRows[] = {
      {0.1, 0.03286}, {0.25, 0.15482}, {0.5, 0.39958}, {1.0, 0.74765}, {2.0, 0.96370}};
  for (const auto& [seconds, accent] : kRows) {
    EXPECT_NEAR(durational_accent({seconds}), accent, 5e-6) << seconds;
  }
  EXPECT_EQ(durational_accent({0.0}), 0.0);
}

// Thomassen 1982, JASA 71:1596-1605 (erratum 73:373): the table of windows, and two lines worked
// out from it.
TEST(MelodicAccents, AreThomassens) {
  struct Row {
    std::vector<int> keys;
    std::vector<double> accents;
  };
  const std::vector<Row> rows = {
      {{60, 62, 64, 62}, {1.0, 0.33, 0.5561, 0.17}},
      {{67, 64, 60, 64, 67}, {1.0, 0.5, 0.355, 0.0957, 0.67}},
      {{60, 64, 60}, {1.0, 0.83, 0.17}},  // up, down
      {{64, 60, 64}, {1.0, 0.71, 0.29}},  // down, up
      {{60, 62, 64}, {1.0, 0.33, 0.67}},  // up, up
      {{64, 62, 60}, {1.0, 0.5, 0.5}},    // down, down
      {{60, 64, 64}, {1.0, 1.0, 0.0}},    // a move, the same
      {{64, 60, 60}, {1.0, 1.0, 0.0}},
      {{60, 60, 64}, {1.0, 1e-5, 1.0}},  // the same, a move
      {{60, 60, 55}, {1.0, 1e-5, 1.0}},
      {{60, 60, 60}, {1.0, 1e-5, 0.0}},           // the same, the same
      {{60, 64, 64, 60}, {1.0, 1.0, 1e-5, 1.0}},  // a window's 0 is passed over
  };
  for (const auto& [keys, accents] : rows) {
    const std::vector<double> computed = melodic_accents(keys);
    ASSERT_EQ(computed.size(), accents.size());
    for (std::size_t i = 0; i < accents.size(); ++i) {
      EXPECT_NEAR(computed[i], accents[i], 1e-9) << keys[1] << ' ' << keys[2] << ", note " << i;
    }
  }
}

TEST(MelodicAccents, OfShortLinesAreWhatIsKnown) {
  EXPECT_TRUE(melodic_accents({}).empty());
  EXPECT_EQ(melodic_accents(std::vector<int>{60}), std::vector<double>{1.0});
  EXPECT_EQ(melodic_accents(std::vector<int>{60, 62}), (std::vector<double>{1.0, 0.0}));
}

}  // namespace
}  // namespace arsis
