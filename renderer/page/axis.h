// Where the moments of a score lie on paper.
#pragma once

#include <span>
#include <vector>

#include "base/units.h"

namespace arsis {

// A moment and where it stands, from the left edge of its system.
struct Waypoint {
  Beats at;
  Millimetres x;
};

// A piecewise linear way from moments to places; before the first waypoint and after the last it
// stands still.
class Axis {
 public:
  // Waypoints rise strictly in time and do not fall in x; at least two.
  explicit Axis(std::vector<Waypoint> waypoints);
  // Straight from `left` to `left + width`.
  static Axis straight(Span span, Millimetres left, Millimetres width);

  Millimetres x_at(Beats at) const;
  Beats begin() const { return waypoints_.front().at; }
  Beats end() const { return waypoints_.back().at; }
  Millimetres left() const { return waypoints_.front().x; }
  Millimetres right() const { return waypoints_.back().x; }
  std::span<const Waypoint> waypoints() const { return waypoints_; }

 private:
  std::vector<Waypoint> waypoints_;
};

}  // namespace arsis
