// Which cell a piece has: where in the bar its melody parts, and how many notes a bar holds.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "base/text.h"
#include "draft/cell.h"

namespace arsis {
namespace {

// The time signature of most of the bars.
TimeSignature usual_signature(const Bars& bars) {
  std::map<std::pair<int, int>, std::size_t> counts;
  std::pair<int, int> usual = {4, 4};
  std::size_t most = 0;
  for (const Bar& bar : bars.all()) {
    const std::pair<int, int> signature = {bar.signature.beats, bar.signature.beat_unit};
    if (++counts[signature] <= most) continue;
    most = counts[signature];
    usual = signature;
  }
  return {usual.first, usual.second};
}

// Bars that hold a note's beginning, and notes in each on average.
double notes_in_a_bar(const Bars& bars, const std::vector<MelodyNote>& line) {
  double sounding = 0.0;
  const Bar* last = nullptr;
  for (const MelodyNote& note : line) {
    const Bar* bar = &bars.at(note.onset);
    if (bar != last) sounding += 1.0;
    last = bar;
  }
  return sounding > 0.0 ? static_cast<double>(line.size()) / sounding : 0.0;
}

WrittenLength likely_length(const Bars& bars, const std::vector<MelodyNote>& line) {
  const double notes = notes_in_a_bar(bars, line);
  const bool can_be_halved = usual_signature(bars).beats % 2 == 0;
  double number = 1.0;
  if (notes > kGroupingWeights.dense_bar && can_be_halved) number = 0.5;
  if (notes < kGroupingWeights.sparse_bar) number = 2.0;
  return {number, WrittenLength::Unit::kBar, {}};
}

// How far before the end of a cell that begins on a bar line the moment lies; 0 on that beginning.
// Cells of two bars begin with the first whole bar.
Beats upbeat_to(const Bars& bars, WrittenLength length, Beats at) {
  const Bar& bar = bars.at(at);
  const Beats cell = usual_length(bars, length, at);
  Beats rest = bar.span.end - at;
  if (length.number > 1.0) {
    const auto index = &bar - bars.all().data();
    const bool has_pickup = bars.all().front().downbeat < bars.all().front().span.begin;
    if ((index - (has_pickup ? 1 : 0)) % 2 == 0) rest += cell * 0.5;
  }
  const double cells = std::floor(rest / cell + 1e-9);
  return std::max(rest - cell * cells, Beats{0.0});
}

// A beat or half a beat before the bar line, or whatever the first note says.
bool is_usual_place(const Bars& bars, Beats upbeat, Beats at) {
  const double halves = 2.0 * (upbeat / bars.at(at).signature.beat_length());
  return std::abs(halves - std::round(halves)) < 1e-3;
}

// The upbeats that the clearest boundaries have, the most voted for first; then the bar line.
std::vector<Beats> likely_upbeats(const Bars& bars, WrittenLength length,
                                  const BoundarySurvey& survey, std::size_t most) {
  constexpr double kGrid = 960.0;  // to a quarter note; finer differences are none
  std::map<long long, double> votes;
  const auto place = [&](Beats at) {
    return std::llround(upbeat_to(bars, length, at).value * kGrid);
  };
  for (std::size_t i = 0; i < survey.after.size(); ++i) {
    const Beats at = survey.line[i + 1].onset;
    const double vote = strength(survey.after[i]) - survey.usual;
    if (vote > 0.0 && is_usual_place(bars, upbeat_to(bars, length, at), at)) {
      votes[place(at)] += vote;
    }
  }
  std::vector<std::pair<double, long long>> ranked;
  for (const auto& [at, vote] : votes) ranked.emplace_back(-vote, at);
  std::ranges::sort(ranked);
  std::vector<long long> places = {place(survey.line.front().onset), 0};
  for (const auto& [vote, at] : ranked) {
    if (places.size() < most + 2) places.push_back(at);
  }
  std::ranges::sort(places);
  places.erase(std::unique(places.begin(), places.end()), places.end());
  std::vector<Beats> upbeats;
  for (const long long at : places) upbeats.push_back({static_cast<double>(at) / kGrid});
  return upbeats;
}

std::string place_words(const Bars& bars, const CellGrid& grid) {
  if (grid.upbeat < kSameMoment) return "from the bar line";
  const double beats = grid.upbeat / bars.at(grid.cell.from).signature.beat_length();
  return fmt::format("from {} beat{} before the bar line", short_number(beats, 2),
                     std::abs(beats - 1.0) < 1e-6 ? "" : "s");
}

CellChoice judged(const Score& score, const BoundarySurvey& survey, CellGrid grid) {
  constexpr double kClearly = 0.3;  // stronger than usual by so much
  double sum = 0.0;
  std::size_t clear = 0;
  const std::size_t cells = grid.cells();
  for (std::size_t i = 1; i < cells; ++i) {
    const double above = strength(cues_at(survey, grid.edges[i], grid.upbeat)) - survey.usual;
    sum += above;
    clear += above > kClearly ? 1 : 0;
  }
  CellChoice choice;
  choice.score = cells > 1 ? sum / static_cast<double>(cells - 1) : 0.0;
  const Beats usual = usual_length(score.bars, grid.length, grid.edges.front());
  const Beats first = grid.edges[1] - grid.edges[0];
  const bool even_start = std::abs((first - usual).value) < kSameMoment.value &&
                          survey.line.front().onset < grid.edges[0] + kSameMoment;
  if (even_start) choice.bonus = kGroupingWeights.pickup;
  choice.score += choice.bonus / static_cast<double>(cells);
  choice.words = place_words(score.bars, grid);
  if (even_start) choice.words += ", as the piece begins";
  if (clear > 0) {
    choice.words += fmt::format(", a clear boundary before {} of {} motifs", clear, cells - 1);
  }
  choice.grid = std::move(grid);
  return choice;
}

}  // namespace

std::vector<CellChoice> likely_cells(const Material& material, const BoundarySurvey& survey,
                                     std::size_t most) {
  std::vector<CellChoice> choices;
  if (survey.line.empty()) return choices;
  const WrittenLength length = likely_length(material.score.bars, survey.line);
  for (const Beats upbeat : likely_upbeats(material.score.bars, length, survey, most)) {
    choices.push_back(judged(material.score, survey, grid_over(material.score, length, upbeat)));
  }
  std::ranges::stable_sort(choices, std::greater<>{}, &CellChoice::score);
  if (choices.size() > most) choices.resize(most);
  return choices;
}

}  // namespace arsis
