// One arc: how the energy of a block rises to its goal and falls from it.
#pragma once

#include "base/units.h"

namespace arsis {

// Height of the arc over `span` with its peak at `goal`, at the beat `at`.
//   goal    within [span.begin, span.end]; on an edge the arc has one flank only
//   result  0..1: 1 at the goal only, 0 at the edges that are not the goal, 0 outside; continuous
//           inside the span
// A(t) = 1 - ((goal - t)/(goal - begin))^2 before the goal, 1 - ((t - goal)/(end - goal))^2 after
// it. Source: Todd 1992 and Repp 1992 (parabola); the two-piece form is our choice.
double arc(Beats at, Span span, Beats goal);

// The window of a linger: 1 at the goal, 0 from `width` away on, a raised cosine between.
// Its integral from the goal to `distance` (either sign), which is +-width/2 from the width on.
// Both closed forms, so that no moment has to be sampled.
double linger_window(Beats distance, Beats width);
Beats linger_integral(Beats distance, Beats width);

}  // namespace arsis
