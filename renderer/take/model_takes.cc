#include "take/model_takes.h"

#include <algorithm>

#include "shape/note_levels.h"
#include "shape/time.h"
#include "shape/time_grid.h"

namespace arsis {
namespace {

ModelTake model_take_of(const Score& score, const BoundPlan& plan, const Layers& layers = {}) {
  const std::vector<Beats> grid = time_grid(score, plan);
  const DynamicCurves curves = dynamic_curves(score, plan, grid, layers);
  ModelTake model_take;
  for (const NoteLevel& level : note_levels(score, plan, curves, layers)) {
    model_take.levels.push_back(level.level);
  }
  std::vector<double> factors = duration_factors(plan, score, grid, curves.withheld, layers);
  keep_units(factors, plan, score, grid);
  model_take.time = time_map(factors, plan, score, grid, layers);
  return model_take;
}

std::vector<Block>& blocks_of(BoundPlan& plan, Level level) {
  return level == Level::kMotif    ? plan.motifs
         : level == Level::kPhrase ? plan.phrases
                                   : plan.sentences;
}

// The tuning with no arc of that level.
Tuning without_arc(Tuning tuning, Level level) {
  for (std::size_t which = 0; which < 3; ++which) {  // depth, slowing, linger
    tuning.set(static_cast<Constant>(index_of(level) * 5 + which), 0.0);
  }
  return tuning;
}

// The leaders with every block of a level led by its k-th member, if it has one.
Leaders led_by(Leaders leaders, const BoundPlan& plan, Level level, std::uint32_t k) {
  const std::vector<Block>& blocks = plan.level(level);
  for (std::size_t i = 0; i < blocks.size(); ++i) {
    const std::uint32_t members = level == Level::kMotif ? 1 : blocks[i].count;
    if (k < members && members <= ModelTakes::kMostMembers) {
      leaders.leads[index_of(level)][i] = k;
    }
  }
  return leaders;
}

std::uint32_t most_members(const BoundPlan& plan, Level level) {
  if (level == Level::kMotif) return 1;
  std::uint32_t most = 0;
  for (const Block& block : plan.level(level)) {
    if (block.count <= ModelTakes::kMostMembers) most = std::max(most, block.count);
  }
  return most;
}

}  // namespace

Leaders leaders_of(const BoundPlan& plan) {
  Leaders leaders;
  for (const Level level : kEveryJudgedLevel) {
    for (const Block& block : plan.level(level)) {
      leaders.leads[index_of(level)].push_back(block.main - block.first);
    }
  }
  return leaders;
}

BoundPlan with_leaders(const BoundPlan& plan, const Leaders& leaders) {
  BoundPlan result = plan;
  const std::size_t tunings = plan.tunings.size();
  for (const Level level : kEveryJudgedLevel) {
    for (std::size_t i = 0; i < tunings; ++i) {
      result.tunings.push_back(without_arc(plan.tunings[i], level));
    }
    std::vector<Block>& blocks = blocks_of(result, level);
    for (std::size_t i = 0; i < blocks.size(); ++i) {
      Block& block = blocks[i];
      const std::uint32_t leads = leaders.leads[index_of(level)][i];
      if (leads == Leaders::kNone) {
        block.tuning += static_cast<std::uint32_t>((index_of(level) + 1) * tunings);
      }
      if (level == Level::kMotif) continue;
      std::vector<Block>& members = level == Level::kPhrase ? result.motifs : result.phrases;
      if (leads != Leaders::kNone && leads < block.count) block.main = block.first + leads;
      for (std::uint32_t m = block.first; m < block.first + block.count; ++m) {
        members[m].is_main = m == block.main;
      }
      if (block.count > 0) block.goal = members[block.main].goal;
    }
  }
  for (Block& piece : result.piece) piece.goal = result.sentences[piece.main].goal;
  return result;
}

ModelTakes model_takes_of(const Score& score, const BoundPlan& plan, const Leaders& base) {
  ModelTakes all;
  const BoundPlan based = with_leaders(plan, base);
  all.base = model_take_of(score, based);
  Layers none;
  for (const Level level : kEveryJudgedLevel) {
    Layers layers;
    layers.heard[index_of(level)] = none.heard[index_of(level)] = false;
    all.without[index_of(level)] = model_take_of(score, based, layers);
    for (std::uint32_t k = 0; k < most_members(plan, level); ++k) {
      const Leaders leaders = led_by(base, plan, level, k);
      all.led[index_of(level)].push_back(
          leaders == base ? all.base : model_take_of(score, with_leaders(plan, leaders)));
    }
  }
  for (std::uint32_t k = 0; k < most_members(plan, Level::kPhrase); ++k) {
    BoundPlan within = with_leaders(plan, led_by(base, plan, Level::kPhrase, k));
    for (std::size_t s = 0; s < within.sentences.size(); ++s) {
      within.sentences[s].goal = based.sentences[s].goal;
    }
    for (std::size_t p = 0; p < within.piece.size(); ++p) {
      within.piece[p].goal = based.piece[p].goal;
    }
    all.led_within.push_back(model_take_of(score, within));
  }
  all.flat = model_take_of(score, based, none);
  BoundPlan even = based;
  for (Tuning& tuning : even.tunings) tuning.set(Constant::kClosingTempo, 100.0);
  all.not_closing = model_take_of(score, even).time;
  all.flat_not_closing = model_take_of(score, even, none).time;
  return all;
}

}  // namespace arsis
