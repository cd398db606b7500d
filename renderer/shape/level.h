// From ceiling and arcs to a level.
#pragma once

#include "shape/energy.h"

namespace arsis {

// The share (0..1) of the depths that the ceiling leaves room for: 1 where they fit between it and
// the floor, less where they do not, so that pianissimo stays audible; 1 where there is no depth.
//   room = min(1, (ceiling - floor) / deepest), at least 0
double room(Decibels ceiling, Decibels deepest, Decibels floor);

// The ceiling less the arcs: what sounds before balance, voicing and accents. Never above the
// ceiling.
Decibels arc_level(Decibels ceiling, const ArcLoss& arcs, Decibels floor);

}  // namespace arsis
