// Does a score look played rather than quantized?
#pragma once

#include "score/score.h"

namespace arsis {

// Share (0..1) of the onsets that lie on none of the grids of written music: sixteenths of a
// quarter note, twelfths (triplets and their halves), tenths (quintuplets) and sevenths; each to
// the nearest tick. A division too coarse to tell gives 0. Our choice of grids: a 64th note is the
// shortest common value.
double off_grid_share(const Score& score);

// Above this share a reader warns: a quantized score may still hold a few grace notes off the grid.
inline constexpr double kPlayedShare = 0.1;

}  // namespace arsis
