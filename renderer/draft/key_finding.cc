#include "draft/key_finding.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace arsis {
namespace {

constexpr PitchHistogram kMajor = {6.35, 2.23, 3.48, 2.33, 4.38, 4.09,
                                   2.52, 5.19, 2.39, 3.66, 2.29, 2.88};
constexpr PitchHistogram kMinor = {6.33, 2.68, 3.52, 5.38, 2.60, 3.53,
                                   2.54, 4.75, 3.98, 2.69, 3.34, 3.17};
constexpr double kSameFit = 1e-9;  // rounding of the same fit in another key

double mean(const PitchHistogram& values) {
  return std::accumulate(values.begin(), values.end(), 0.0) / 12.0;
}

// Square root of the sum of squared deviations.
double spread(const PitchHistogram& values) {
  const double middle = mean(values);
  double sum = 0.0;
  for (const double value : values) sum += (value - middle) * (value - middle);
  return std::sqrt(sum);
}

}  // namespace

double key_profile(Tonality key, int pitch_class) {
  const auto degree = static_cast<std::size_t>((pitch_class - key.tonic + 12) % 12);
  return (key.minor ? kMinor : kMajor)[degree];
}

double instability(Tonality key, int pitch_class) {
  const PitchHistogram& profile = key.minor ? kMinor : kMajor;
  const double least = *std::ranges::min_element(profile);
  return (profile[0] - key_profile(key, pitch_class)) / (profile[0] - least);
}

double key_fit(const PitchHistogram& histogram, Tonality key) {
  const PitchHistogram& profile = key.minor ? kMinor : kMajor;
  const double deviation = spread(histogram);
  if (deviation <= 0.0) return 0.0;
  const double middle = mean(histogram);
  const double profile_middle = mean(profile);
  double sum = 0.0;
  for (std::size_t degree = 0; degree < 12; ++degree) {
    const std::size_t pitch_class = (degree + static_cast<std::size_t>(key.tonic)) % 12;
    sum += (histogram[pitch_class] - middle) * (profile[degree] - profile_middle);
  }
  return sum / (deviation * spread(profile));
}

KeyFits key_fits(const PitchHistogram& histogram) {
  KeyFits fits{};
  for (int i = 0; i < 24; ++i) {
    fits[static_cast<std::size_t>(i)] = key_fit(histogram, {i % 12, i >= 12});
  }
  return fits;
}

Tonality best_key(const KeyFits& fits, int reference) {
  Tonality best{reference, false};
  double most = -2.0;
  for (int i = 0; i < 24; ++i) {
    const Tonality key{(reference + i) % 12, i >= 12};
    const double fit = fits[index_of(key)];
    if (fit <= most + kSameFit) continue;
    most = fit;
    best = key;
  }
  return best;
}

}  // namespace arsis
