// Alignment: time a note over takes of 40 to 2,400 bars of piano music, of both hands, of one, and
// of another piece. It should be flat. Figures are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>

#include "take/alignment.h"
#include "take/disturbed.h"

namespace arsis {
namespace {

constexpr double kFew = 0.03;
const test::Disturbance kDisturbance{
    .rubato = 0.3, .noise = {0.015}, .dropped = kFew, .wrong = kFew, .added = kFew};

void time_alignment(benchmark::State& state, const Score& score, const Take& take) {
  for (auto _ : state) benchmark::DoNotOptimize(align(score, take));
  state.counters["notes"] = static_cast<double>(take.notes.size());
  state.counters["per_note"] = benchmark::Counter(
      static_cast<double>(take.notes.size()) * static_cast<double>(state.iterations()),
      benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
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

BENCHMARK(BM_BothHands)->Arg(40)->Arg(150)->Arg(600)->Arg(2400)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_RightHand)->Arg(150)->Arg(600)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_AnotherPiece)->Arg(150)->Arg(600)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace arsis
