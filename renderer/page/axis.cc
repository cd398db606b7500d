#include "page/axis.h"

#include <algorithm>
#include <cassert>
#include <utility>

namespace arsis {

Axis::Axis(std::vector<Waypoint> waypoints) : waypoints_(std::move(waypoints)) {
  assert(waypoints_.size() >= 2);
  assert(std::ranges::is_sorted(waypoints_, {}, &Waypoint::at));
  assert(std::ranges::is_sorted(waypoints_, {}, &Waypoint::x));
}

Axis Axis::straight(Span span, Millimetres left, Millimetres width) {
  return Axis({{span.begin, left}, {span.end, left + width}});
}

Millimetres Axis::x_at(Beats at) const {
  const auto next = std::ranges::upper_bound(waypoints_, at, {}, &Waypoint::at);
  if (next == waypoints_.begin()) return waypoints_.front().x;
  if (next == waypoints_.end()) return waypoints_.back().x;
  const Waypoint& before = *std::prev(next);
  return before.x + (next->x - before.x) * ((at - before.at) / (next->at - before.at));
}

}  // namespace arsis
