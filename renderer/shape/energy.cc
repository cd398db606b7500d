#include "shape/energy.h"

#include <algorithm>

#include "shape/arc.h"

namespace arsis {
namespace {

double low_energy(const Block& block, Beats moment) {
  return 1.0 - arc(moment, block.span, block.goal);
}

}  // namespace

HoldingBlocks BlockFinder::at(Beats moment) {
  HoldingBlocks found{};
  for (const Level level : kEveryLevel) {
    const std::vector<Block>& blocks = plan_->level(level);
    if (blocks.empty()) continue;
    std::size_t& hint = hint_[index_of(level)];
    if (moment < blocks[hint].span.begin) {
      const auto after = std::ranges::upper_bound(
          blocks, moment, {}, [](const Block& block) { return block.span.begin; });
      hint = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, after - blocks.begin() - 1));
    }
    while (hint + 1 < blocks.size() && blocks[hint].span.end <= moment) ++hint;
    if (blocks[hint].span.holds(moment)) found[index_of(level)] = &blocks[hint];
  }
  return found;
}

const Tuning& tuning_at(const BoundPlan& plan, const HoldingBlocks& blocks) {
  for (const Level level : kEveryLevel) {
    if (const Block* block = blocks[index_of(level)]) return plan.tunings[block->tuning];
  }
  return plan.tuning();
}

ArcLoss arc_loss(const BoundPlan& plan, const HoldingBlocks& blocks, Beats moment,
                 const Layers& layers) {
  ArcLoss sum;
  for (const Level level : kEveryLevel) {
    const Block* block = blocks[index_of(level)];
    if (block == nullptr) continue;
    const Decibels depth = layers.depth(plan.tunings[block->tuning], level);
    sum.deepest += depth;
    sum.loss += depth * low_energy(*block, moment);
  }
  return sum;
}

double slowing_at(const BoundPlan& plan, const HoldingBlocks& blocks, Beats moment,
                  const Layers& layers) {
  double sum = 0.0;
  for (const Level level : kEveryLevel) {
    const Block* block = blocks[index_of(level)];
    if (block == nullptr) continue;
    sum += plan.tunings[block->tuning].slowing(level) * layers.scale(level) *
           low_energy(*block, moment);
  }
  return sum;
}

}  // namespace arsis
