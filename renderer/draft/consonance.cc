#include "draft/consonance.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cassert>

namespace arsis {
namespace {

constexpr std::array<double, 6> kDyads = {-1.428, -0.582, 0.594, 0.386, 1.240, -0.453};
constexpr double kTriad = (0.594 + 0.386 + 1.240) / 3.0;  // the mean of a major or minor triad
constexpr double kTensionRange = 1.2;  // down to about a cluster of three semitones

}  // namespace

double dyad_consonance(int interval_class) {
  assert(interval_class >= 1 && interval_class <= 6);
  return kDyads[static_cast<std::size_t>(interval_class - 1)];
}

double summed_consonance(PitchSet set) {
  // Counted by interval class, so that the sum is the same to the last bit in every key.
  std::array<int, 7> count{};
  for (int a = 0; a < 12; ++a) {
    if ((set >> a & 1) == 0) continue;
    for (int b = a + 1; b < 12; ++b) {
      if ((set >> b & 1) != 0) ++count[static_cast<std::size_t>(interval_class(a, b))];
    }
  }
  double sum = 0.0;
  for (int i = 1; i <= 6; ++i) sum += count[static_cast<std::size_t>(i)] * dyad_consonance(i);
  return sum;
}

std::optional<double> mean_consonance(PitchSet set) {
  const int size = std::popcount(set);
  if (size < 2) return std::nullopt;
  const int pairs = size * (size - 1) / 2;
  return summed_consonance(set) / pairs;
}

double chord_tension(PitchSet set) {
  const std::optional<double> mean = mean_consonance(set);
  return mean ? std::clamp((kTriad - *mean) / kTensionRange, 0.0, 1.0) : 0.0;
}

}  // namespace arsis
