#include "draft/pattern.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstdint>

#include "draft/weights.h"

namespace arsis {
namespace {

std::int64_t counted(double total) { return std::llround(std::ldexp(total, 30)); }

// The last of the greatest.
std::size_t last_greatest(std::span<const std::int64_t> values) {
  std::size_t greatest = 0;
  for (std::size_t i = 1; i < values.size(); ++i) {
    if (values[i] >= values[greatest]) greatest = i;
  }
  return greatest;
}

std::int64_t reward(const PatternBlock& before, const PatternBlock& block) {
  if (block.totals.size() != before.totals.size() || block.totals.size() < 2) return 0;
  return counted(kPattern + kPatternAlike * block.likeness_to_last);
}

}  // namespace

std::size_t best_member(std::span<const double> totals) {
  assert(!totals.empty());
  std::vector<std::int64_t> values(totals.size());
  std::ranges::transform(totals, values.begin(), counted);
  return last_greatest(values);
}

std::vector<std::size_t> best_pattern(std::span<const PatternBlock> blocks) {
  std::vector<std::vector<std::size_t>> came_from(blocks.size());
  std::vector<std::int64_t> sums;  // the best to each member of the block under way
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const std::vector<double>& totals = blocks[i].totals;
    assert(!totals.empty());
    // Only the same member is rewarded: another one comes from the best of all.
    const std::size_t best = i > 0 ? last_greatest(sums) : 0;
    const std::int64_t bonus = i > 0 ? reward(blocks[i - 1], blocks[i]) : 0;
    std::vector<std::int64_t> next(totals.size());
    came_from[i].assign(totals.size(), best);
    for (std::size_t k = 0; k < totals.size(); ++k) {
      next[k] = counted(totals[k]) + (i > 0 ? sums[best] : 0);
      if (bonus == 0 || sums[k] + bonus < sums[best]) continue;
      next[k] = counted(totals[k]) + sums[k] + bonus;
      came_from[i][k] = k;
    }
    sums = std::move(next);
  }
  std::vector<std::size_t> mains(blocks.size());
  if (blocks.empty()) return mains;
  mains.back() = last_greatest(sums);
  for (std::size_t i = blocks.size() - 1; i > 0; --i) mains[i - 1] = came_from[i][mains[i]];
  return mains;
}

}  // namespace arsis
