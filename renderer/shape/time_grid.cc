#include "shape/time_grid.h"

#include <algorithm>

namespace arsis {
namespace {

constexpr double kStepsPerBeat = 4.0;
constexpr Beats kFinestStep{0.125};

void add_steps(std::vector<Beats>& grid, const Bar& bar, Span covered) {
  const Beats step = std::max(bar.signature.beat_length() / kStepsPerBeat, kFinestStep);
  const Beats begin = std::max(bar.span.begin, covered.begin);
  const Beats end = std::min(bar.span.end, covered.end);
  for (double k = 0.0;; k += 1.0) {
    const Beats moment = bar.span.begin + step * k;
    if (moment >= end) break;
    if (moment > begin) grid.push_back(moment);
  }
}

// The bars' own steps within the span; `bar` moves on to where the next span may begin.
void add_steps(std::vector<Beats>& grid, std::span<const Bar> bars, Span span, std::size_t& bar) {
  while (bar < bars.size() && bars[bar].span.end <= span.begin) ++bar;
  for (std::size_t i = bar; i < bars.size() && bars[i].span.begin < span.end; ++i) {
    add_steps(grid, bars[i], span);
  }
}

}  // namespace

Span closing_span(const Score& score, const BoundPlan& plan) {
  const Tuning& tuning = plan.tuning();
  const Beats end = score.notes.back().onset;
  if (tuning.share(Constant::kClosingTempo) >= 1.0) return {end, end};
  const Beats bar = score.bars.at(end).signature.bar_length();
  return {std::max(Beats{0.0}, end - bar * tuning.raw(Constant::kClosingLength)), end};
}

std::vector<Beats> time_grid(const Score& score, const BoundPlan& plan) {
  std::vector<Beats> grid = {{0.0}, score.end(), score.bars.all().back().span.end};
  std::size_t reached = 0;
  for (const Block& sentence : plan.sentences) {
    add_steps(grid, score.bars.all(), sentence.span, reached);
  }
  for (const Bar& bar : score.bars.all()) grid.push_back(bar.span.begin);
  for (const TempoChange& change : score.tempo.changes()) grid.push_back(change.at);
  for (const Level level : kEveryLevel) {
    for (const Block& block : plan.level(level)) {
      grid.insert(grid.end(), {block.span.begin, block.span.end, block.goal});
    }
  }
  for (const DynamicLine& line : plan.dynamics) {
    for (const DynamicStretch& stretch : line) {
      if (stretch.is_hairpin()) grid.insert(grid.end(), {stretch.from, stretch.to});
    }
  }
  for (const Fermata& fermata : plan.fermatas) {
    grid.insert(grid.end(), {fermata.span.begin, fermata.span.end});
  }
  const Span closing = closing_span(score, plan);
  grid.insert(grid.end(), {closing.begin, closing.end});
  reached = 0;
  add_steps(grid, score.bars.all(), closing, reached);
  std::ranges::sort(grid);
  grid.erase(std::unique(grid.begin(), grid.end(),
                         [](Beats a, Beats b) { return b - a < kSameGridMoment; }),
             grid.end());
  return grid;
}

}  // namespace arsis
