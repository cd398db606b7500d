#include "shape/unevenness.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace arsis {
namespace {

constexpr double kMostDeviation =
    2.5;  // standard deviations; our choice: no note falls out of line

// SplitMix64 (Steele, Lea & Flood 2014): a good 64-bit hash of a counter.
std::uint64_t mixed(std::uint64_t x) {
  x += 0x9E3779B97F4A7C15u;
  x = (x ^ (x >> 30)) * 0xBF58476D1CE4E5B9u;
  x = (x ^ (x >> 27)) * 0x94D049BB133111EBu;
  return x ^ (x >> 31);
}

// Uniform in (0, 1].
double uniform(std::uint64_t bits) { return (static_cast<double>(bits >> 11) + 1.0) * 0x1p-53; }

// A standard normal deviate (Box & Muller 1958), cut at kMostDeviation. `purpose` keeps the
// deviates of one note apart.
double deviate(std::uint64_t seed, std::size_t note, std::uint64_t purpose) {
  const std::uint64_t first = mixed(mixed(seed ^ (purpose << 56)) + note);
  const double u = uniform(first);
  const double v = uniform(mixed(first));
  const double x = std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
  return std::clamp(x, -kMostDeviation, kMostDeviation);
}

}  // namespace

void apply_uneven_levels(std::vector<NoteLevel>& levels, std::uint64_t seed, const Tuning& tuning) {
  const Decibels spread = tuning.decibels(Constant::kUnevenLevel);
  for (std::size_t i = 0; i < levels.size(); ++i) {
    levels[i].level -= spread * std::abs(deviate(seed, i, 1));
  }
}

void apply_uneven_onsets(std::vector<PerformedNote>& notes, std::uint64_t seed,
                         const Tuning& tuning) {
  const Seconds spread = tuning.milliseconds(Constant::kUnevenTiming);
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const Seconds most = (notes[i].end - notes[i].onset) * 0.25;
    const Seconds shift = std::clamp(spread * deviate(seed, i, 2), -most, most);
    notes[i].onset = std::max(Seconds{0.0}, notes[i].onset + shift);
  }
}

}  // namespace arsis
