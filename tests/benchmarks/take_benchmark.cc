// Alignment and comparison: time a note over takes of 40 to 2,400 bars of piano music, of both
// hands, of one, and of another piece. It should be flat. Figures are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>

#include <cstdlib>

#include "benchmarks/benchmark_plan.h"
#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "shape/perform.h"
#include "take/alignment.h"
#include "take/comparison.h"
#include "take/disturbed.h"

namespace arsis {
namespace {

constexpr double kFew = 0.03;
const test::Disturbance kDisturbance{
    .rubato = 0.3, .noise = {0.015}, .dropped = kFew, .wrong = kFew, .added = kFew};

void count_notes(benchmark::State& state, const Take& take) {
  state.counters["notes"] = static_cast<double>(take.notes.size());
  state.counters["per_note"] = benchmark::Counter(
      static_cast<double>(take.notes.size()) * static_cast<double>(state.iterations()),
      benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

void time_alignment(benchmark::State& state, const Score& score, const Take& take) {
  for (auto _ : state) benchmark::DoNotOptimize(align(score, take));
  count_notes(state, take);
}

Take take_of_score(const Score& score, const test::Disturbance& how) {
  return test::disturbed(score, test::played_plainly(score), how).take;
}

void BM_BothHands(benchmark::State& state) {
  const Score score = test::piano_score(static_cast<int>(state.range(0)), 9);
  time_alignment(state, score, take_of_score(score, kDisturbance));
}

void BM_RightHand(benchmark::State& state) {
  const Score score = test::piano_score(static_cast<int>(state.range(0)), 9);
  test::Disturbance how = kDisturbance;
  how.parts = {0};
  time_alignment(state, score, take_of_score(score, how));
}

void BM_AnotherPiece(benchmark::State& state) {
  const Score score = test::piano_score(static_cast<int>(state.range(0)), 9);
  const Score other = test::piano_score(static_cast<int>(state.range(0)), 77);
  time_alignment(state, score, take_of_score(other, kDisturbance));
}

BoundPlan plan_for(const Score& score, int bars) {
  const Result<Plan> plan = parse_plan(benchmark_plan(bars), "x.yaml");
  if (!plan) std::abort();
  Result<BoundPlan> bound = bind_plan(*plan, score);
  if (!bound) std::abort();
  return *std::move(bound);
}

// Alignment and comparison of a take as the model plays it, disturbed.
void BM_Compare(benchmark::State& state) {
  const int bars = static_cast<int>(state.range(0));
  const Score score = test::piano_score(bars, 9);
  const BoundPlan plan = plan_for(score, bars);
  const Take take =
      test::disturbed(score, perform(score, plan).performance.notes, kDisturbance).take;
  for (auto _ : state) {
    benchmark::DoNotOptimize(compare(score, plan, take, align(score, take)));
  }
  count_notes(state, take);
}

BENCHMARK(BM_Compare)->Arg(40)->Arg(150)->Arg(600)->Arg(2400)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_BothHands)->Arg(40)->Arg(150)->Arg(600)->Arg(2400)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_RightHand)->Arg(150)->Arg(600)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_AnotherPiece)->Arg(150)->Arg(600)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace arsis
