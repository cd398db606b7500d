#include "draft/boundary_models.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstdlib>

namespace arsis {
namespace {

// Relative difference of two magnitudes, 0..1; 0 of two zeros.
double difference(double a, double b) {
  const double sum = a + b;
  return sum > 0.0 ? std::abs(a - b) / sum : 0.0;
}

// Each value times its differences from its neighbours, against the largest of these products.
std::vector<double> change_profile(const std::vector<double>& values) {
  std::vector<double> strengths(values.size());
  double largest = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double before = i > 0 ? difference(values[i - 1], values[i]) : 0.0;
    const double after = i + 1 < values.size() ? difference(values[i], values[i + 1]) : 0.0;
    strengths[i] = values[i] * (before + after);
    largest = std::max(largest, strengths[i]);
  }
  if (largest <= 0.0) return strengths;
  for (double& strength : strengths) strength /= largest;
  return strengths;
}

double peak_of_three(double before, double middle, double after) {
  if (middle <= before || middle <= after) return 0.0;
  return 1.0 - (before + after) / (2.0 * middle);
}

}  // namespace

Beats interval_after(std::span<const LineNote> line, std::size_t index) {
  assert(index + 1 < line.size());
  return line[index + 1].onset - line[index].onset;
}

Beats rest_after(std::span<const LineNote> line, std::size_t index) {
  assert(index + 1 < line.size());
  return std::max(line[index + 1].onset - line[index].end, Beats{0.0});
}

Beats mean_interval(std::span<const LineNote> line) {
  if (line.size() < 2) return {1.0};
  return (line.back().onset - line.front().onset) / static_cast<double>(line.size() - 1);
}

std::vector<double> local_boundaries(std::span<const LineNote> line) {
  constexpr double kPitch = 0.25;
  constexpr double kInterval = 0.5;
  constexpr double kRest = 0.25;
  if (line.size() < 2) return {};
  std::vector<double> pitches;
  std::vector<double> intervals;
  std::vector<double> rests;
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    pitches.push_back(std::abs(line[i + 1].key - line[i].key));
    intervals.push_back(interval_after(line, i).value);
    rests.push_back(rest_after(line, i).value);
  }
  std::vector<double> strengths = change_profile(pitches);
  const std::vector<double> by_interval = change_profile(intervals);
  const std::vector<double> by_rest = change_profile(rests);
  for (std::size_t i = 0; i < strengths.size(); ++i) {
    strengths[i] = kPitch * strengths[i] + kInterval * by_interval[i] + kRest * by_rest[i];
  }
  return strengths;
}

double gap_score(Beats interval, Beats rest, Beats mean) {
  constexpr double kMeanNote = 500.0;
  return kMeanNote * ((interval + rest) / mean);
}

double length_penalty(int notes, double preferred) {
  assert(notes >= 1);
  constexpr double kAnOctaveOfLength = 600.0;
  return kAnOctaveOfLength * std::abs(std::log2(notes / preferred));
}

double phase_penalty(double shift) {
  constexpr double kNear = 1e-6;
  const double phase = shift - std::floor(shift);
  if (phase < kNear || phase > 1.0 - kNear) return 0.0;
  return std::abs(phase - 0.5) < kNear ? 150.0 : 300.0;
}

double proximity(Beats before, Beats interval, Beats after) {
  return peak_of_three(before.value, interval.value, after.value);
}

double register_change(int before, int interval, int after) {
  return peak_of_three(std::abs(before), std::abs(interval), std::abs(after));
}

double length_change(Beats first, Beats second) {
  const double longer = std::max(first, second).value;
  if (longer <= 0.0) return 0.0;
  return 1.0 - std::min(first, second).value / longer;
}

}  // namespace arsis
