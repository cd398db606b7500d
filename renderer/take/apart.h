// How far two choices of a block lie apart in the model: what there would be to hear.
#pragma once

#include "plan/binding.h"
#include "score/score.h"
#include "take/evidence.h"
#include "take/model_takes.h"

namespace arsis {

// References to what a comparison holds for as long as it judges.
struct Modelled {
  const Score& score;
  const BoundPlan& plan;  // with the reading of the base
  const ModelTakes& model_takes;
};

// Half of what the levels of two choices differ by over the melody's notes: how much more the one
// member stands out than if both led alike. Of a motif how much more its goal stands over its begin
// than without an arc. 0 or more.
Decibels level_apart(const Modelled& modelled, const Choices& block, std::size_t choice,
                     std::size_t other);

// The same of time: how much more the beat about the one goal is longer than the beat about the
// other, as a share of it; of a motif how much longer the beat about its goal is against all of the
// motif.
double time_apart(const Modelled& modelled, const Choices& block, std::size_t choice,
                  std::size_t other);

// How long the beat about the goal of a choice lasts in the base.
Seconds beat_at_goal(const Modelled& modelled, const Choices& block, std::size_t choice);

}  // namespace arsis
