// The pattern of mains over neighbouring blocks, chosen for all of them at once.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace arsis {

// A block as the pattern sees it.
struct PatternBlock {
  std::vector<double> totals;     // of its members: weighed evidence; not empty
  double likeness_to_last = 0.0;  // to the block before, 0..1
};

// For each block the main such that the evidence of all mains, and what is given for each pair of
// neighbours of the same size (two members at least) with the same main (kPattern, kPatternAlike),
// sum up to the most. Of equal members the later. Exact (Viterbi), linear in members. Totals count
// to 2^-30, so that rounding decides nothing.
std::vector<std::size_t> best_pattern(std::span<const PatternBlock> blocks);

// The member of the greatest total, of equal ones the later, counted in the same way.
std::size_t best_member(std::span<const double> totals);

}  // namespace arsis
