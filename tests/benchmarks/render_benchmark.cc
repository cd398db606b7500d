// How long the main job takes, stage by stage and whole, over scores of 10^4 to 10^6 notes. Figures
// are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>

#include <array>
#include <string>

#include "benchmarks/benchmark_plan.h"
#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "shape/perform.h"
#include "smf/midi_file.h"
#include "smf/performance_writer.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

constexpr int kNotesPerBar = 16;  // eighths in both hands, 4/4
constexpr int kDivision = 480;

// Two hands of eighth notes: the right a moving line, the left broken chords.
Bytes midi_bytes(int notes) {
  MidiFile file;
  file.division = kDivision;
  file.tracks.resize(2);
  for (std::uint8_t hand = 0; hand < 2; ++hand) {
    for (int i = 0; i < notes / 2; ++i) {
      const std::int64_t tick = std::int64_t{i} * kDivision / 2;
      const auto key = static_cast<std::uint8_t>((hand == 0 ? 72 : 48) + (i * 5 + i / 8 * 3) % 12);
      const auto on = static_cast<std::uint8_t>(0x90 | hand);
      const auto off = static_cast<std::uint8_t>(0x80 | hand);
      file.append(hand, tick, std::array<std::uint8_t, 3>{on, key, 80});
      file.append(hand, tick + kDivision / 2, std::array<std::uint8_t, 3>{off, key, 64});
    }
  }
  return *write_midi(file, "benchmark.mid");
}

void count_notes(benchmark::State& state) {
  state.counters["per_note"] = benchmark::Counter(
      static_cast<double>(state.range(0)) * static_cast<double>(state.iterations()),
      benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

void BM_ReadScore(benchmark::State& state) {
  const Bytes bytes = midi_bytes(static_cast<int>(state.range(0)));
  for (auto _ : state) {
    const Result<MidiFile> file = read_midi(bytes, "b.mid");
    benchmark::DoNotOptimize(score_of(*file, "b.mid"));
  }
  count_notes(state);
}

void BM_ReadAndBindPlan(benchmark::State& state) {
  const int notes = static_cast<int>(state.range(0));
  const Score score = *score_of(*read_midi(midi_bytes(notes), "b.mid"), "b.mid");
  const std::string text = benchmark_plan(notes / kNotesPerBar);
  for (auto _ : state) {
    const Result<Plan> plan = parse_plan(text, "b.yaml");
    benchmark::DoNotOptimize(bind_plan(*plan, score));
  }
  count_notes(state);
}

void BM_Perform(benchmark::State& state) {
  const int notes = static_cast<int>(state.range(0));
  const Score score = *score_of(*read_midi(midi_bytes(notes), "b.mid"), "b.mid");
  const BoundPlan bound =
      *bind_plan(*parse_plan(benchmark_plan(notes / kNotesPerBar), "b.yaml"), score);
  for (auto _ : state) benchmark::DoNotOptimize(perform(score, bound));
  count_notes(state);
}

void BM_WriteMidi(benchmark::State& state) {
  const int notes = static_cast<int>(state.range(0));
  const Score score = *score_of(*read_midi(midi_bytes(notes), "b.mid"), "b.mid");
  const BoundPlan bound =
      *bind_plan(*parse_plan(benchmark_plan(notes / kNotesPerBar), "b.yaml"), score);
  const Shaped shaped = perform(score, bound);
  for (auto _ : state) {
    const MidiFile file = midi_of(score, shaped.performance, TimingForm::kTempoMap);
    benchmark::DoNotOptimize(write_midi(file, "b.mid"));
  }
  count_notes(state);
}

// From the bytes of score and plan to the bytes of the performance.
void BM_Whole(benchmark::State& state) {
  const int notes = static_cast<int>(state.range(0));
  const Bytes bytes = midi_bytes(notes);
  const std::string text = benchmark_plan(notes / kNotesPerBar);
  for (auto _ : state) {
    const Score score = *score_of(*read_midi(bytes, "b.mid"), "b.mid");
    const BoundPlan bound = *bind_plan(*parse_plan(text, "b.yaml"), score);
    const Shaped shaped = perform(score, bound);
    benchmark::DoNotOptimize(
        write_midi(midi_of(score, shaped.performance, TimingForm::kTempoMap), "b.mid"));
  }
  count_notes(state);
}

#define ARSIS_SIZES RangeMultiplier(10)->Range(10'000, 1'000'000)->Unit(benchmark::kMillisecond)
BENCHMARK(BM_ReadScore)->ARSIS_SIZES;
BENCHMARK(BM_ReadAndBindPlan)->ARSIS_SIZES;
BENCHMARK(BM_Perform)->ARSIS_SIZES;
BENCHMARK(BM_WriteMidi)->ARSIS_SIZES;
BENCHMARK(BM_Whole)->ARSIS_SIZES;

}  // namespace
}  // namespace arsis
