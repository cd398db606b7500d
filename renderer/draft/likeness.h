// How alike two stretches of a line are, wherever they stand and however high.
#pragma once

#include "draft/surface.h"

namespace arsis {

// 0..1, the mean of two shares: of onsets that fall on the same place counted from the stretches'
// beginnings (of the stretch with more notes), and of steps between such onsets that go the same
// way (by about the same interval, two semitones more or less: 1; by another: 0.5). 0 where a
// stretch has no notes. Transposing a stretch changes nothing. Our choice.
double likeness(const Surface& surface, Span a, Span b);

}  // namespace arsis
