// The nested arcs at a moment: which block of each level holds it, and how high its arc stands.
#pragma once

#include <array>

#include "plan/binding.h"
#include "shape/layers.h"

namespace arsis {

// By level; nullptr where no block of the level holds the moment.
using HoldingBlocks = std::array<const Block*, kLevels>;

// Finds the blocks of one moment after another; moments may come in any order, rising ones are
// quick.
class BlockFinder {
 public:
  explicit BlockFinder(const BoundPlan& plan) : plan_(&plan) {}
  HoldingBlocks at(Beats moment);

 private:
  const BoundPlan* plan_;
  std::array<std::size_t, kLevels> hint_{};
};

// The tuning in force there: that of the innermost block, or the piece's.
const Tuning& tuning_at(const BoundPlan& plan, const HoldingBlocks& blocks);

// What the arcs take from a level there.
struct ArcLoss {
  Decibels loss;     // sum over the levels of depth times (1 - arc); 0 outside all blocks
  Decibels deepest;  // sum of the depths: the most that could be lost
  // 0..1 as pictures show it: 1 - loss / deepest; 1 where no depth is heard.
  double energy() const { return deepest.value > 0.0 ? 1.0 - loss / deepest : 1.0; }
};

// `moment` lies within the blocks or on their ends.
ArcLoss arc_loss(const BoundPlan& plan, const HoldingBlocks& blocks, Beats moment,
                 const Layers& layers);

// Lengthening by low energy there: sum over the levels of slowing times (1 - arc), a ratio >= 0.
double slowing_at(const BoundPlan& plan, const HoldingBlocks& blocks, Beats moment,
                  const Layers& layers);

}  // namespace arsis
