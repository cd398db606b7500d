#include "take/own_takes.h"

#include <random>
#include <stdexcept>

#include "plan/plan_reader.h"
#include "shape/perform.h"
#include "smf/score_reader.h"
#include "take/apart.h"
#include "take/leads.h"

namespace arsis::test {

PlannedPiece planned_piece(const std::string& name) {
  const std::string folder = std::string(ARSIS_SOURCE_DIR) + "/plans/";
  const Result<Plan> plan = read_plan(folder + name + ".yaml");
  if (!plan) throw std::runtime_error(name);
  Result<Score> score = read_score(folder + plan->score);
  if (!score) throw std::runtime_error(name);
  Result<BoundPlan> bound = bind_plan(*plan, *score);
  if (!bound) throw std::runtime_error(name);
  return {*std::move(score), *std::move(bound)};
}

std::vector<PerformedNote> performed(const PlannedPiece& piece, const Layers& layers) {
  return perform(piece.score, piece.plan, layers).performance.notes;
}

std::vector<PerformedNote> uneven(std::vector<PerformedNote> notes, int most, std::uint64_t seed) {
  std::mt19937_64 engine(seed);
  for (PerformedNote& note : notes) {
    const auto roll = static_cast<int>(engine() >> 33) % (2 * most + 1) - most;
    note.velocity = Velocity::clamped(note.velocity.value() + roll);
  }
  return notes;
}

Take take_of_notes(const Score& score, const std::vector<PerformedNote>& notes,
                   const Disturbance& how) {
  return disturbed(score, notes, how).take;
}

std::vector<bool> audible_blocks(const PlannedPiece& piece, Level level) {
  const Leaders leaders = leaders_of(piece.plan);
  const ModelTakes model_takes = model_takes_of(piece.score, piece.plan, leaders);
  const Modelled modelled{piece.score, piece.plan, model_takes};
  const bool motif = level == Level::kMotif;
  std::vector<bool> audible;
  const std::vector<Block>& blocks = piece.plan.level(level);
  for (std::uint32_t i = 0; i < blocks.size(); ++i) {
    const Choices block{level, i, motif ? 1 : blocks[i].count, 0};
    const std::uint32_t leads = leaders.leads[index_of(level)][i];
    const Seconds beat = beat_at_goal(modelled, block, leads);
    bool stands_out = true;
    for (std::size_t other = 0; other < block.count(); ++other) {
      if (other == leads || other > block.none() || (!motif && other == block.none())) continue;
      const double steps = level_apart(modelled, block, leads, other) / kLevelStep +
                           time_apart(modelled, block, leads, other) / (time_step(beat) / beat);
      stands_out &= steps >= 1.0;
    }
    audible.push_back(stands_out);
  }
  return audible;
}

Comparison compared(const PlannedPiece& piece, const Take& take) {
  return compare(piece.score, piece.plan, take, align(piece.score, take));
}

}  // namespace arsis::test
