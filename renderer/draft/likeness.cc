#include "draft/likeness.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace arsis {
namespace {

constexpr double kSamePlace = 1.0 / 32.0;  // of a felt beat
constexpr int kSameInterval = 2;           // semitones

int direction(int interval) { return (interval > 0) - (interval < 0); }

double same_step(int a, int b) {
  if (direction(a) != direction(b)) return 0.0;
  return std::abs(a - b) <= kSameInterval ? 1.0 : 0.5;
}

}  // namespace

double likeness(const Surface& surface, Span a, Span b) {
  const std::span<const LineNote> one = surface.line_within(a);
  const std::span<const LineNote> other = surface.line_within(b);
  if (one.empty() || other.empty()) return 0.0;
  std::size_t common = 0;
  double steps = 0.0;
  const LineNote* before_one = nullptr;
  const LineNote* before_other = nullptr;
  for (std::size_t i = 0, k = 0; i < one.size() && k < other.size();) {
    const double place = (one[i].onset - a.begin) / one[i].pulse;
    const double other_place = (other[k].onset - b.begin) / other[k].pulse;
    if (std::abs(place - other_place) > kSamePlace) {
      ++(place < other_place ? i : k);
      continue;
    }
    if (common > 0) {
      steps += same_step(one[i].key - before_one->key, other[k].key - before_other->key);
    }
    before_one = &one[i++];
    before_other = &other[k++];
    ++common;
  }
  const double rhythm =
      static_cast<double>(common) / static_cast<double>(std::max(one.size(), other.size()));
  const double contour = common > 1 ? steps / static_cast<double>(common - 1) : 0.0;
  return (rhythm + contour) / 2.0;
}

}  // namespace arsis
