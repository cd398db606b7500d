#include "shape/level.h"

#include <algorithm>

namespace arsis {

double room(Decibels ceiling, Decibels deepest, Decibels floor) {
  if (deepest.value <= 0.0) return 1.0;
  return std::clamp((ceiling - floor) / deepest, 0.0, 1.0);
}

Decibels arc_level(Decibels ceiling, const ArcLoss& arcs, Decibels floor) {
  return ceiling - arcs.loss * room(ceiling, arcs.deepest, floor);
}

}  // namespace arsis
