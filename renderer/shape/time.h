// When the beats of a score fall: slower where energy is low, lingering at goals, broadening where
// a diminuendo withholds a rise; evened out so that each unit that the plan keeps lasts as long as
// written.
#pragma once

#include <span>
#include <vector>

#include "plan/binding.h"
#include "score/time_map.h"
#include "shape/diminuendo.h"
#include "shape/layers.h"

namespace arsis {

// The duration factor of each cell of the grid (one fewer than its moments), averaged over the
// cell, before anything is kept:
//   F(t) = 1 + sum_l slowing_l (1 - A_l(t)) + sum_l linger_l w((t - goal_l) / width_l)
//            + broadening * withheld(t)
// `withheld`: one for each dynamic line; where several withhold, the most counts. A linger does not
// reach beyond its own sentence. Not scaled again by the amount: what is withheld already is.
std::vector<double> duration_factors(const BoundPlan& plan, const Score& score,
                                     std::span<const Beats> grid,
                                     std::span<const Withheld> withheld, const Layers& layers);

// Scales the factors within each unit of `keep` so that it lasts as long as the score's tempo says;
// so does a stretch that no unit holds.
void keep_units(std::vector<double>& factors, const BoundPlan& plan, const Score& score,
                std::span<const Beats> grid);

// The finished map: factors over the score's tempo, with fermatas (part of the touch) and the
// closing ritardando on top. Each kept unit begins exactly where the score has it, but for what
// fermatas and the ritardando added before: nothing accumulates.
TimeMap time_map(const std::vector<double>& factors, const BoundPlan& plan, const Score& score,
                 std::span<const Beats> grid, const Layers& layers);

}  // namespace arsis
