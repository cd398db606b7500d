// What counts how much where mains are chosen: every weight and threshold, in one table.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace arsis {

enum class Feature : std::uint8_t {
  kDynamics,
  kArticulation,
  kHarmony,
  kContour,
  kRhythm,
  kRepetition,
};

struct FeatureWeight {
  Feature feature = Feature::kDynamics;
  std::string_view name;
  double weight = 0.0;  // of a score of 1
};

// In the order of Feature. Our choice; dynamics and harmony outweigh contour.
inline constexpr std::size_t kFeatures = 6;
inline constexpr std::array<FeatureWeight, kFeatures> kFeatureWeights = {{
    {Feature::kDynamics, "written dynamics", 1.0},
    {Feature::kArticulation, "articulation", 0.7},
    {Feature::kHarmony, "harmony", 0.8},
    {Feature::kContour, "contour", 0.5},
    {Feature::kRhythm, "rhythm", 0.4},
    {Feature::kRepetition, "repetition", 0.5},
}};
constexpr std::size_t index_of(Feature feature) { return static_cast<std::size_t>(feature); }

// In the unit of the weighed sums; our choice, all four. Two members of which one is a dynamic
// step louder differ by 2.
// What it is worth that neighbouring blocks of the same size have the same member for their main,
inline constexpr double kPattern = 0.06;
// and how much more where the two are alike in rhythm and contour.
inline constexpr double kPatternAlike = 0.12;
// A choice that leads by less is in doubt.
inline constexpr double kDoubt = 0.4;
// So the pattern decides only what is in doubt anyway, though both neighbours speak for it.
static_assert(2.0 * (kPattern + kPatternAlike) < kDoubt);
// The piece has a main sentence where that one leads by at least so much.
inline constexpr double kClear = 1.0;

}  // namespace arsis
