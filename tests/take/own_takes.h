// Takes of our own plans, performed by the renderer and disturbed as hands do it.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "plan/binding.h"
#include "score/performance.h"
#include "score/score.h"
#include "shape/layers.h"
#include "take/comparison.h"
#include "take/disturbed.h"

namespace arsis::test {

struct PlannedPiece {
  Score score;
  BoundPlan plan;
};
// Of plans/NAME.yaml.
PlannedPiece planned_piece(const std::string& name);

std::vector<PerformedNote> performed(const PlannedPiece& piece, const Layers& layers = {});

// Every velocity up to `most` units louder or softer, evenly distributed.
std::vector<PerformedNote> uneven(std::vector<PerformedNote> notes, int most, std::uint64_t seed);

Take take_of_notes(const Score& score, const std::vector<PerformedNote>& notes,
                   const Disturbance& how = {});
// Of each block of a level whether a listener can hear in the model's own performance that it leads
// as planned (of a motif, that it grows): whether level and time of the goal and of every other
// member differ by a step that can just be noticed, of what the performances with either in the
// lead have.
std::vector<bool> audible_blocks(const PlannedPiece& piece, Level level);

Comparison compared(const PlannedPiece& piece, const Take& take);

}  // namespace arsis::test
