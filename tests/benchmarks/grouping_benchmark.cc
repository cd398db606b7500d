// Drafting a structure: time a bar over pieces of 500 to 50,000 bars. It should be flat. Figures
// are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>

#include "benchmarks/tunes.h"
#include "draft/drafting.h"

namespace arsis {
namespace {

void draft(benchmark::State& state, StructureWishes wishes) {
  const test::Piece piece(tunes(static_cast<int>(state.range(0)), false));
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
