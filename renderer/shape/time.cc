#include "shape/time.h"

#include <algorithm>
#include <cassert>

#include "shape/arc.h"
#include "shape/closing.h"
#include "shape/energy.h"
#include "shape/time_grid.h"

namespace arsis {
namespace {

// The slowest that a closing ritardando may end at when the amount doubles it.
constexpr double kSlowestClosing = 0.1;

// Mean of a function over a cell by Simpson's rule: exact for the parabolas that arcs are.
template <class Function>
double mean_over(Beats begin, Beats end, Function f) {
  return (f(begin) + 4.0 * f(begin + (end - begin) * 0.5) + f(end)) / 6.0;
}

// Mean of a function over a cell from moments inside it only: what is withheld may jump at a cell's
// edge. Exact where the function is straight.
template <class Function>
double mean_inside(Beats begin, Beats end, Function f) {
  const Beats sixth = (end - begin) / 6.0;
  return (f(begin + sixth) + f(begin + sixth * 3.0) + f(begin + sixth * 5.0)) / 3.0;
}

Decibels most_withheld(std::span<const Withheld> withheld, Beats moment) {
  Decibels most{0.0};
  for (const Withheld& line : withheld) most = std::max(most, line.at(moment));
  return most;
}

std::size_t cell_at(std::span<const Beats> grid, Beats moment) {
  const auto after = std::ranges::upper_bound(grid, moment + kSameGridMoment);
  return static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, after - grid.begin() - 1));
}

// Adds one block's linger to the cells that its window reaches, within the sentence.
void add_linger(std::vector<double>& factors, std::span<const Beats> grid, const Block& block,
                Span sentence, double linger, Beats width) {
  const Beats begin = std::max(sentence.begin, block.goal - width);
  const Beats end = std::min(sentence.end, block.goal + width);
  for (std::size_t i = cell_at(grid, begin); i + 1 < grid.size() && grid[i] < end; ++i) {
    if (grid[i] < begin - kSameGridMoment) continue;  // the cell before the window
    const Beats mean = linger_integral(grid[i + 1] - block.goal, width) -
                       linger_integral(grid[i] - block.goal, width);
    factors[i] += linger * (mean / (grid[i + 1] - grid[i]));
  }
}

Span sentence_of(const BoundPlan& plan, Level level, const Block& block) {
  if (level == Level::kPiece) return block.span;
  if (level == Level::kSentence) return block.span;
  const std::uint32_t sentence =
      level == Level::kPhrase ? block.parent : plan.phrases[block.parent].parent;
  return plan.sentences[sentence].span;
}

void add_lingers(std::vector<double>& factors, const BoundPlan& plan, const Score& score,
                 std::span<const Beats> grid, const Layers& layers) {
  for (const Level level : kEveryLevel) {
    for (const Block& block : plan.level(level)) {
      const Tuning& tuning = plan.tunings[block.tuning];
      const double linger = tuning.linger(level) * layers.scale(level);
      if (linger <= 0.0) continue;
      const Beats beat = score.bars.at(block.goal).signature.beat_length();
      add_linger(factors, grid, block, sentence_of(plan, level, block), linger,
                 beat * tuning.width(level));
    }
  }
}

// The units of `keep:` and the stretches between them, which last as written too: what is slowed
// there (a hairpin or the piece's arc may reach over it) would put the next unit off its time.
std::vector<Span> kept_units(const BoundPlan& plan, const Score& score,
                             std::span<const Beats> grid) {
  std::vector<Span> units;
  Beats reached = grid.front();
  const auto add = [&](Span unit) {
    if (reached < unit.begin) units.push_back({reached, unit.begin});
    if (unit.begin < unit.end) units.push_back(unit);
    reached = unit.end;
  };
  switch (plan.tuning().keep) {
    case Keep::kBar:
      for (const Bar& bar : score.bars.all()) add(bar.span);
      break;
    case Keep::kPhrase:
      for (const Block& phrase : plan.phrases) add(phrase.span);
      break;
    case Keep::kSentence:
      for (const Block& sentence : plan.sentences) add(sentence.span);
      break;
    case Keep::kOff:
      return units;
  }
  add({grid.back(), grid.back()});
  return units;
}

Seconds written_length(const Score& score, std::span<const Beats> grid, std::size_t cell) {
  return score.tempo.seconds_at(grid[cell + 1]) - score.tempo.seconds_at(grid[cell]);
}

// What fermatas and the closing ritardando make of each cell, on top of its factor.
std::vector<double> holds(const BoundPlan& plan, const Score& score, std::span<const Beats> grid,
                          const Layers& layers) {
  std::vector<double> hold(grid.size() - 1, 1.0);
  const auto over = [&](Span span, auto stretch) {
    for (std::size_t i = cell_at(grid, span.begin);
         i < hold.size() && grid[i + 1] <= span.end + kSameGridMoment; ++i) {
      hold[i] *= stretch(grid[i], grid[i + 1]);
    }
  };
  if (layers.touch) {
    BlockFinder finder(plan);
    for (const Fermata& held : plan.fermatas) {
      const Tuning& tuning = tuning_at(plan, finder.at(held.span.begin));
      const double fermata = 1.0 + tuning.share(Constant::kFermata);
      over(held.span, [&](Beats, Beats) { return fermata; });
    }
  }
  const Span span = closing_span(score, plan);
  if (span.length() <= kSameGridMoment) return hold;
  const double written = plan.tuning().share(Constant::kClosingTempo);
  const Closing closing{
      .last_tempo =
          std::clamp(1.0 - layers.scale(Level::kPiece) * (1.0 - written), kSlowestClosing, 1.0),
      .curve = plan.tuning().raw(Constant::kClosingCurve)};
  over(span, [&](Beats begin, Beats end) {
    const double x0 = std::clamp((begin - span.begin) / span.length(), 0.0, 1.0);
    const double x1 = std::clamp((end - span.begin) / span.length(), 0.0, 1.0);
    return (closing_time(closing, x1) - closing_time(closing, x0)) / (x1 - x0);
  });
  over({span.end, grid.back()}, [&](Beats, Beats) { return 1.0 / closing.last_tempo; });
  return hold;
}

// Adds a knot where time has moved on since the last: far into a very slow file, a cell of a very
// fast tempo can be shorter than a double can tell.
void add_knot(std::vector<TimeMap::Knot>& knots, TimeMap::Knot knot) {
  if (knots.empty() || knots.back().second < knot.second) knots.push_back(knot);
}

}  // namespace

std::vector<double> duration_factors(const BoundPlan& plan, const Score& score,
                                     std::span<const Beats> grid,
                                     std::span<const Withheld> withheld, const Layers& layers) {
  std::vector<double> factors(grid.size() - 1, 1.0);
  const bool withholds =
      std::ranges::any_of(withheld, [](const Withheld& line) { return !line.empty(); });
  BlockFinder finder(plan);
  for (std::size_t i = 0; i + 1 < grid.size(); ++i) {
    // The blocks of the cell's middle serve for all of it: no block begins or ends inside a cell.
    const HoldingBlocks blocks = finder.at(grid[i] + (grid[i + 1] - grid[i]) * 0.5);
    factors[i] += mean_over(grid[i], grid[i + 1],
                            [&](Beats moment) { return slowing_at(plan, blocks, moment, layers); });
    if (!withholds) continue;
    factors[i] += tuning_at(plan, blocks).broadening_per_decibel() *
                  mean_inside(grid[i], grid[i + 1],
                              [&](Beats moment) { return most_withheld(withheld, moment).value; });
  }
  add_lingers(factors, plan, score, grid, layers);
  return factors;
}

void keep_units(std::vector<double>& factors, const BoundPlan& plan, const Score& score,
                std::span<const Beats> grid) {
  for (const Span unit : kept_units(plan, score, grid)) {
    const std::size_t first = cell_at(grid, unit.begin);
    double written = 0.0;
    double shaped = 0.0;
    std::size_t last = first;
    for (; last < factors.size() && grid[last + 1] <= unit.end + kSameGridMoment; ++last) {
      const double length = written_length(score, grid, last).value;
      written += length;
      shaped += length * factors[last];
    }
    if (shaped == written) continue;
    for (std::size_t i = first; i < last; ++i) factors[i] *= written / shaped;
  }
}

TimeMap time_map(const std::vector<double>& factors, const BoundPlan& plan, const Score& score,
                 std::span<const Beats> grid, const Layers& layers) {
  assert(factors.size() + 1 == grid.size());
  const std::vector<double> hold = holds(plan, score, grid, layers);
  const std::vector<Span> units = kept_units(plan, score, grid);
  std::vector<TimeMap::Knot> knots;
  std::size_t unit = 0;
  Seconds deviation{0.0};  // of the shaping, back to 0 at the end of every kept unit
  Seconds added{0.0};      // by fermatas and the closing ritardando, for good
  double last_pace = 0.0;  // seconds per beat of the cell before
  for (std::size_t i = 0; i < factors.size(); ++i) {
    const Seconds begin = score.tempo.seconds_at(grid[i]);
    const Seconds written = written_length(score, grid, i);
    const bool even = factors[i] == 1.0 && hold[i] == 1.0;
    const double pace = static_cast<double>(score.tempo.microseconds_per_quarter_at(grid[i])) *
                        factors[i] * hold[i];
    if (pace != last_pace || !even) add_knot(knots, {grid[i], begin + deviation + added});
    last_pace = pace;
    deviation += written * (factors[i] - 1.0);
    added += written * (factors[i] * (hold[i] - 1.0));
    while (unit < units.size() && units[unit].end <= grid[i + 1] + kSameGridMoment) {
      deviation = {0.0};
      ++unit;
    }
  }
  const Seconds end = score.tempo.seconds_at(grid.back()) + deviation + added;
  while (knots.size() > 1 && knots.back().second >= end) knots.pop_back();
  add_knot(knots, {grid.back(), end});
  return TimeMap(std::move(knots));
}

}  // namespace arsis
