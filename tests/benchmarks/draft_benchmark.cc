// Evidence and mains: time a note over scores of 500 to 50,000 bars of eight notes. It should be
// flat. Figures are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>

#include "draft/landing.h"
#include "draft/mains.h"

namespace arsis {
namespace {

struct Bench {
  Score score;
  BoundPlan bound;
  Printed printed;
  Structure structure;

  Material material() const { return {score, bound, printed}; }
};

// Quarters over a bass and broken chords in quarters.
void add_bar(Bench& bench, int bar) {
  const auto add = [&](double onset, int part, int key) {
    Note note;
    note.onset = {onset};
    note.end = {onset + 1.0};
    note.part = static_cast<std::uint16_t>(part);
    note.key = static_cast<std::uint8_t>(key);
    bench.score.notes.push_back(note);
  };
  for (int beat = 0; beat < 4; ++beat) {
    const double at = bar * 4.0 + beat;
    bench.bound.melody.push_back(bench.score.notes.size());
    add(at, 0, 72 + (bar * 7 + beat * 5) % 12);
    add(at, 1, 48 + (bar % 4) * 2 + beat % 3 * 4);
  }
}

// Hairpins and accents, phrases of two and of three bars by turns, sentences of two phrases.
Bench bench_of(int bars) {
  Bench bench;
  bench.score.parts = {{"right", 0, 1, 0}, {"left", 1, 2, 1}};
  bench.bound.parts.resize(2);
  for (int bar = 0; bar < bars; ++bar) add_bar(bench, bar);
  bench.score.bars = Bars::of({}, {bars * 4.0});
  bench.bound.marks.resize(bench.score.notes.size());
  bench.bound.dynamics.emplace_back();
  Structure& structure = bench.structure;
  for (int bar = 0; bar < bars; ++bar) {
    const double begin = bar * 4.0;
    if (bar % 5 == 0 || bar % 5 == 2) {
      if (structure.phrases.size() % 2 == 0) {
        structure.sentences.push_back(static_cast<std::uint32_t>(structure.phrases.size()));
      }
      structure.phrases.push_back(static_cast<std::uint32_t>(structure.motifs.size()));
    }
    structure.motifs.push_back({{begin}, {begin + 4.0}});
    if (bar % 8 == 0) {
      bench.bound.dynamics[0].push_back(
          {{begin}, {begin + 16.0}, bar / 8 % 2, 1 - bar / 8 % 2, bar / 8 % 2 == 1});
    }
    if (bar % 3 == 0) {
      bench.bound.marks[static_cast<std::size_t>(bar) * 8 + 4].add(Mark::kAccent);
    }
  }
  return bench;
}

void count_notes(benchmark::State& state, const Bench& bench) {
  state.counters["per_note"] =
      benchmark::Counter(static_cast<double>(bench.score.notes.size() * state.iterations()),
                         benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

void BM_Surface(benchmark::State& state) {
  const Bench bench = bench_of(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(surface_of(bench.material()));
  count_notes(state, bench);
}

void BM_Mains(benchmark::State& state) {
  const Bench bench = bench_of(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(choose_mains(bench.material(), bench.structure));
  count_notes(state, bench);
}

void BM_Landings(benchmark::State& state) {
  const Bench bench = bench_of(static_cast<int>(state.range(0)));
  const Surface surface = surface_of(bench.material());
  for (auto _ : state) benchmark::DoNotOptimize(landings(surface, bench.structure.motifs));
  count_notes(state, bench);
}

#define ARSIS_BARS Arg(500)->Arg(5'000)->Arg(50'000)->Unit(benchmark::kMillisecond)
BENCHMARK(BM_Surface)->ARSIS_BARS;
BENCHMARK(BM_Mains)->ARSIS_BARS;
BENCHMARK(BM_Landings)->ARSIS_BARS;

}  // namespace
}  // namespace arsis
