// Measures of a block's members set against one another.
#pragma once

#include <optional>
#include <span>
#include <vector>

namespace arsis {

// Of a score, -1..1: from it on a finding has words. Our choice.
inline constexpr double kWorthWords = 0.1;

// For each member how far its measure lies over the greatest of the others (below 0: under it), in
// units of `full`, a ratio above 0, within -1..1. A member without a measure has -1 where another
// has one, and 0 else; a member alone has 0.
std::vector<double> compared(std::span<const std::optional<double>> measures, double full);

}  // namespace arsis
