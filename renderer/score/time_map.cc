#include "score/time_map.h"

#include <algorithm>
#include <cassert>

namespace arsis {
namespace {

// The stretch that holds `at`: the index of its first knot. The last stretch is open to the right.
template <class Unit, class Projection>
std::size_t stretch_of(std::span<const TimeMap::Knot> knots, Unit at, Projection projection) {
  const auto after = std::ranges::upper_bound(knots, at, {}, projection);
  const auto index = after == knots.begin() ? 0 : after - knots.begin() - 1;
  return std::min(static_cast<std::size_t>(index), knots.size() - 2);
}

}  // namespace

TimeMap::TimeMap(std::vector<Knot> knots) : knots_(std::move(knots)) {
  assert(!knots_.empty());
  if (knots_.size() == 1) {
    knots_.push_back({knots_[0].beat + Beats{1.0}, knots_[0].second + Seconds{0.5}});
  }
  assert(std::ranges::adjacent_find(knots_, [](const Knot& a, const Knot& b) {
           return a.beat >= b.beat || a.second >= b.second;
         }) == knots_.end());
}

Seconds TimeMap::seconds_at(Beats at) const {
  const std::size_t i = stretch_of(std::span<const Knot>(knots_), at, &Knot::beat);
  const Knot& a = knots_[i];
  const Knot& b = knots_[i + 1];
  return a.second + (b.second - a.second) * ((at - a.beat) / (b.beat - a.beat));
}

Beats TimeMap::beats_at(Seconds at) const {
  const std::size_t i = stretch_of(std::span<const Knot>(knots_), at, &Knot::second);
  const Knot& a = knots_[i];
  const Knot& b = knots_[i + 1];
  return a.beat + (b.beat - a.beat) * ((at - a.second) / (b.second - a.second));
}

}  // namespace arsis
