// The moments between which the tempo of a performance is held: fine enough that no step is heard,
// coarse enough that a tempo track stays readable.
#pragma once

#include <vector>

#include "plan/binding.h"

namespace arsis {

// In strictly rising order from beat 0 to the end of the score or beyond: inside the blocks and the
// closing ritardando every
// quarter of a beat (an eighth of a quarter note at the least); everywhere the edges and goals of
// blocks, bar lines, tempo changes, ends of hairpins and fermatas, the closing ritardando.
// Source: our choice; over a quarter of a beat the model's factor changes by 2 % at most, which is
// under what is audible (Friberg & Sundberg 1995).
std::vector<Beats> time_grid(const Score& score, const BoundPlan& plan);

// The stretch of the closing ritardando, which arrives at its last tempo with the last onset; empty
// where the plan asks for none. What sounds on after it keeps the last tempo.
Span closing_span(const Score& score, const BoundPlan& plan);

// Two moments of a grid nearer than this are one.
inline constexpr Beats kSameGridMoment{1e-7};

}  // namespace arsis
