// Drafting a structure: time a bar over pieces of 500 to 50,000 bars. It should be flat. Figures
// are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <array>

#include "draft/drafting.h"

namespace arsis {
namespace {

// Two hands in 4/4: eight-bar tunes with a rest every four bars, over chords in halves.
Score tunes(int bars) {
  Score score;
  score.file = "x.mid";
  score.parts = {{"right", 0, 1, 0}, {"left", 1, 2, 1}};
  score.tracks = {{"right", {bars * 4.0}}, {"left", {bars * 4.0}}};
  const auto add = [&](double onset, double length, std::uint16_t part, int key) {
    Note note;
    note.onset = {onset};
    note.end = {onset + length};
    note.part = part;
    note.key = static_cast<std::uint8_t>(key);
    score.notes.push_back(note);
  };
  constexpr std::array<int, 7> kScale = {0, 2, 4, 5, 7, 9, 11};
  for (int bar = 0; bar < bars; ++bar) {
    for (int half = 0; half < 2; ++half) {
      for (const int key : {36, 48, 52, 55}) add(bar * 4.0 + half * 2.0, 2.0, 1, key + bar % 5);
    }
    const int eighths = bar % 4 == 3 ? 4 : 8;
    for (int i = 0; i < eighths; ++i) {
      const auto step = static_cast<std::size_t>((bar * 5 + i * (bar % 3 + 1)) % 7);
      add(bar * 4.0 + i * 0.5, 0.5, 0, 72 + kScale[step]);
    }
  }
  std::ranges::stable_sort(score.notes, {}, &Note::onset);
  score.bars = Bars::of({}, score.end());
  return score;
}

void draft(benchmark::State& state, StructureWishes wishes) {
  const test::Piece piece(tunes(static_cast<int>(state.range(0))));
  for (auto _ : state) {
    std::vector<ScoredStructure> found = structures(piece.material(), wishes);
    benchmark::DoNotOptimize(found.data());
  }
  state.counters["s/bar"] = benchmark::Counter(
      static_cast<double>(state.range(0)),
      benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void best_structure(benchmark::State& state) { draft(state, {}); }
void three_structures(benchmark::State& state) { draft(state, {.cell = {}, .count = 3}); }

BENCHMARK(best_structure)->Arg(500)->Arg(5'000)->Arg(50'000)->Unit(benchmark::kMillisecond);
BENCHMARK(three_structures)->Arg(5'000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace arsis
