// What a performance makes of each block: how high its goal may stand, and how high it does.
#pragma once

#include <optional>
#include <vector>

#include "shape/perform.h"

namespace arsis {

struct GoalLevel {
  std::size_t note = 0;  // the loudest note that starts at the goal, the melody's before others
  Decibels ceiling;      // of that note
  Decibels level;        // that it sounds at
  Seconds at;            // its onset in the performance
};

// What sounds at a block's goal; none where no note starts there.
std::optional<GoalLevel> goal_level(const Score& score, const BoundPlan& plan, const Shaped& shaped,
                                    const Block& block);

}  // namespace arsis
