#include "draft/cell.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstdlib>
#include <iterator>

#include "plan/cells.h"

namespace arsis {
namespace {

using enum WrittenLength::Unit;

Beats last_onset(const Score& score) {
  return score.notes.empty() ? Beats{} : score.notes.back().onset;
}

// Even edges from `from` to behind the last note, at most to the end of the bars. Cells shorter
// than a tick of the score are one with the next.
std::vector<Beats> even_edges(const Score& score, WrittenLength length, Beats from) {
  constexpr std::size_t kMostCells = 4 * kMostMotifs;  // tried
  const Beats end = score.bars.all().back().span.end;
  std::vector<Beats> edges = {from};
  Cells cells(score.bars, length, from);
  Beats cursor = from;
  for (std::size_t i = 0; i < kMostCells && edges.size() <= kMostMotifs; ++i) {
    if (edges.back() > last_onset(score) + kSameMoment || cursor >= end - kSameMoment) break;
    cursor = cells.end_of(cursor);
    const Beats edge = std::min(score.snapped(cursor), end);
    if (edge > edges.back() + kSameMoment) edges.push_back(edge);
  }
  return edges;
}

// Joins cells of less than half the usual length to the one before.
std::vector<Beats> joined(const Score& score, WrittenLength length, std::vector<Beats> edges) {
  if (edges.size() < 3) return edges;
  std::vector<Beats> kept = {edges.front()};
  for (std::size_t i = 1; i < edges.size(); ++i) {
    const Beats usual = usual_length(score.bars, length, edges[i] - kSameMoment);
    const bool too_short = edges[i] - edges[i - 1] < usual * 0.5 - kSameMoment;
    const bool can_join = too_short && kept.size() > 1;
    if (can_join) kept.pop_back();
    kept.push_back(edges[i]);
  }
  const Beats usual = usual_length(score.bars, length, kept[0]);
  if (kept.size() > 2 && kept[1] - kept[0] < usual * 0.5 - kSameMoment) {
    kept.erase(kept.begin() + 1);
  }
  return kept;
}

// Lets the first cell begin with the first note, or at most half a cell before it.
void fit_start(const Score& score, WrittenLength length, std::vector<Beats>& edges) {
  const Beats first = score.notes.front().onset;
  const auto after = std::ranges::upper_bound(edges, first + kSameMoment);
  const auto empty_cells = std::max<std::ptrdiff_t>(0, after - edges.begin() - 1);
  const auto kept = std::max<std::ptrdiff_t>(2, std::ssize(edges) - empty_cells);
  edges.erase(edges.begin(), edges.end() - std::min(kept, std::ssize(edges)));
  const Beats half = usual_length(score.bars, length, edges.front()) * 0.5;
  if (edges.front() > first + half - kSameMoment) {
    edges.insert(edges.begin(), first);
  } else if (edges.front() > first) {
    edges.front() = first;
  } else if (first - edges.front() > half + kSameMoment && edges.size() > 2) {
    edges.erase(edges.begin());
    edges.front() = first;
  }
}

Beats upbeat_of(const Bars& bars, WrittenLength length, Beats at) {
  const Bar& bar = bars.at(at);
  if (same_moment(at, bar.downbeat)) return {0.0};
  const Beats rest_of_bar = std::max(bar.span.end - at, Beats{0.0});
  const Beats cell = usual_length(bars, length, at);
  const double cells = std::floor(rest_of_bar / cell + 1e-9);
  const Beats upbeat = rest_of_bar - cell * cells;
  return same_moment(upbeat, {0.0}) ? Beats{0.0} : upbeat;
}

// The first bar that is whole, or the first of all.
std::size_t first_whole_bar(std::span<const Bar> bars) {
  const bool has_pickup = bars.size() > 1 && !same_moment(bars[0].span.begin, bars[0].downbeat);
  return has_pickup ? 1 : 0;
}

}  // namespace

WrittenLength written_length(const Bars& bars, const Cell& cell) {
  const TimeSignature signature = bars.at(cell.from).signature;
  const double in_bars = cell.length / signature.bar_length();
  const double halves = in_bars * 2.0;
  if (std::abs(halves - std::round(halves)) < 1e-6 && halves > 0.5) {
    return {std::round(halves) / 2.0, kBar, {}};
  }
  return {std::clamp(cell.length / signature.beat_length(), 0.001, 1000.0), kBeat, {}};
}

Beats usual_length(const Bars& bars, WrittenLength length, Beats at) {
  const TimeSignature signature = bars.at(at).signature;
  return (length.unit == kBar ? signature.bar_length() : signature.beat_length()) * length.number;
}

CellGrid grid_from(const Score& score, const Cell& cell) {
  CellGrid grid{cell, written_length(score.bars, cell), {}, {}};
  if (score.notes.empty() || cell.from > last_onset(score)) return grid;
  grid.upbeat = upbeat_of(score.bars, grid.length, cell.from);
  grid.edges = joined(score, grid.length, even_edges(score, grid.length, cell.from));
  return grid;
}

CellGrid grid_over(const Score& score, WrittenLength length, Beats upbeat) {
  CellGrid grid{{}, length, upbeat, {}};
  if (score.notes.empty()) return grid;
  const auto bars = score.bars.all();
  const Bar& whole = bars[first_whole_bar(bars)];
  const Beats cell = usual_length(score.bars, length, whole.span.begin);
  Beats anchor = whole.span.begin - upbeat;
  const Beats bar = whole.signature.bar_length();
  grid.upbeat = upbeat - bar * std::floor(upbeat / bar + 1e-9);
  if (anchor < bars.front().span.begin - kSameMoment) anchor += cell;
  anchor = std::max(score.snapped(anchor), bars.front().span.begin);
  grid.edges = even_edges(score, length, anchor);
  if (grid.edges.size() < 2) {
    grid.edges = {score.notes.front().onset, bars.back().span.end};
  }
  fit_start(score, length, grid.edges);
  grid.edges = joined(score, length, std::move(grid.edges));
  grid.cell = {cell, grid.edges.front()};
  return grid;
}

}  // namespace arsis
