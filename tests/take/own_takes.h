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
Comparison compared(const PlannedPiece& piece, const Take& take);

}  // namespace arsis::test
