// The model alone: time and memory a note of perform() and of its stages, over scores of 10^4 to
// 10^6 notes. Both should be flat. Figures are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>
#include <malloc.h>

#include <algorithm>
#include <cstdlib>
#include <new>
#include <string>

#include "benchmarks/benchmark_plan.h"
#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "shape/articulation.h"
#include "shape/perform.h"
#include "shape/time.h"
#include "shape/time_grid.h"

namespace {

// Bytes in use now, and the most since the peak was last set; the benchmarks run in one thread.
std::size_t now_in_use = 0;
std::size_t most_in_use = 0;

void* counted(std::size_t size) {
  void* memory = std::malloc(size);
  if (memory == nullptr) throw std::bad_alloc();
  now_in_use += malloc_usable_size(memory);
  most_in_use = std::max(most_in_use, now_in_use);
  return memory;
}

void uncounted(void* memory) {
  now_in_use -= malloc_usable_size(memory);
  std::free(memory);
}

}  // namespace

void* operator new(std::size_t size) { return counted(size); }
void operator delete(void* memory) noexcept { uncounted(memory); }
void operator delete(void* memory, std::size_t) noexcept { uncounted(memory); }

namespace arsis {
namespace {

constexpr int kNotesPerBar = 20;  // 4/4: eighths over quarters in chords of three

// A moving line in the right hand, chords in the left that repeat half of their keys.
Score two_hands(int notes) {
  Score score;
  const int bars = notes / kNotesPerBar;
  score.parts = {{"right", 0, 1, 0}, {"left", 1, 2, 1}};
  score.tracks = {{"right", {bars * 4.0}}, {"left", {bars * 4.0}}};
  score.notes.reserve(static_cast<std::size_t>(notes));
  const auto add = [&](double onset, double length, int part, int key) {
    Note note;
    note.onset = {onset};
    note.end = {onset + length};
    note.part = static_cast<std::uint16_t>(part);
    note.key = static_cast<std::uint8_t>(key);
    score.notes.push_back(note);
  };
  for (int i = 0; i < bars * 8; ++i) {
    add(i * 0.5, 0.5, 0, 72 + (i * 5 + i / 8 * 3) % 12);
    if (i % 2 != 0) continue;
    add(i * 0.5, 1.0, 1, 48);
    add(i * 0.5, 1.0, 1, 52 + i / 4 % 2);
    add(i * 0.5, 1.0, 1, 55 + i / 2 % 3);
  }
  score.bars = Bars::of({}, {bars * 4.0});
  return score;
}

BoundPlan plan_over(const Score& score) {
  const int bars = static_cast<int>(score.end().value / 4.0);
  return *bind_plan(*parse_plan(benchmark_plan(bars), "b.yaml"), score);
}

void count_notes(benchmark::State& state, const Score& score) {
  state.counters["per_note"] =
      benchmark::Counter(static_cast<double>(score.notes.size() * state.iterations()),
                         benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

void BM_Perform(benchmark::State& state) {
  const Score score = two_hands(static_cast<int>(state.range(0)));
  const BoundPlan plan = plan_over(score);
  const std::size_t before = now_in_use;
  most_in_use = now_in_use;
  for (auto _ : state) benchmark::DoNotOptimize(perform(score, plan));
  count_notes(state, score);
  state.counters["bytes_a_note"] =
      static_cast<double>(most_in_use - before) / static_cast<double>(score.notes.size());
}

void BM_Levels(benchmark::State& state) {
  const Score score = two_hands(static_cast<int>(state.range(0)));
  const BoundPlan plan = plan_over(score);
  const std::vector<Beats> grid = time_grid(score, plan);
  for (auto _ : state) {
    const DynamicCurves curves = dynamic_curves(score, plan, grid, {});
    benchmark::DoNotOptimize(note_levels(score, plan, curves, {}));
  }
  count_notes(state, score);
}

void BM_Time(benchmark::State& state) {
  const Score score = two_hands(static_cast<int>(state.range(0)));
  const BoundPlan plan = plan_over(score);
  for (auto _ : state) {
    const std::vector<Beats> grid = time_grid(score, plan);
    const DynamicCurves curves = dynamic_curves(score, plan, grid, {});
    std::vector<double> factors = duration_factors(plan, score, grid, curves.withheld, {});
    keep_units(factors, plan, score, grid);
    benchmark::DoNotOptimize(time_map(factors, plan, score, grid, {}));
  }
  count_notes(state, score);
}

void BM_Articulation(benchmark::State& state) {
  const Score score = two_hands(static_cast<int>(state.range(0)));
  const BoundPlan plan = plan_over(score);
  const Performance performance = perform(score, plan).performance;
  for (auto _ : state) {
    std::vector<PerformedNote> notes = performance.notes;
    apply_articulation(notes, score, plan, performance.time, {});
    part_keys(notes, score);
    benchmark::DoNotOptimize(notes);
  }
  count_notes(state, score);
}

#define ARSIS_SIZES RangeMultiplier(10)->Range(10'000, 1'000'000)->Unit(benchmark::kMillisecond)
BENCHMARK(BM_Perform)->ARSIS_SIZES;
BENCHMARK(BM_Levels)->ARSIS_SIZES;
BENCHMARK(BM_Time)->ARSIS_SIZES;
BENCHMARK(BM_Articulation)->ARSIS_SIZES;

}  // namespace
}  // namespace arsis
