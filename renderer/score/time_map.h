// The performance's own time: score beats to performance seconds and back, in straight stretches.
#pragma once

#include <span>
#include <vector>

#include "base/units.h"

namespace arsis {

class TimeMap {
 public:
  struct Knot {
    Beats beat;
    Seconds second;
  };

  // Knots rise strictly in both; the first is at beat 0 (its second may be above 0). Between two
  // knots the tempo is constant; after the last the tempo of the last stretch goes on (at 120
  // quarter notes a minute where there is only one knot).
  explicit TimeMap(std::vector<Knot> knots);
  TimeMap() : TimeMap(std::vector<Knot>{Knot{}}) {}

  Seconds seconds_at(Beats at) const;
  Beats beats_at(Seconds at) const;
  std::span<const Knot> knots() const { return knots_; }

 private:
  std::vector<Knot> knots_;
};

}  // namespace arsis
