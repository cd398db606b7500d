// The whole of `arsis draft`, from the file's bytes to the plan's text and back: time over pieces
// of 500, 5,000 and 20,000 bars, two hands in two tracks or in one. It should grow as bars. Figures
// are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <array>
#include <optional>
#include <string>

#include "benchmarks/tunes.h"
#include "draft/draft.h"
#include "draft/draft_remarks.h"
#include "plan/plan_reader.h"
#include "plan/plan_writer.h"
#include "score/hands.h"
#include "smf/midi_file.h"
#include "smf/performance_writer.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

// As a file of that score has it.
Bytes bytes_of(const Score& score) {
  Performance performance;
  performance.time = TimeMap({{{0.0}, {0.0}}, {{1.0}, {0.5}}});
  for (const Note& note : score.notes) {
    performance.notes.push_back(
        {Seconds{note.onset.value / 2}, Seconds{note.end.value / 2}, note.velocity});
  }
  return *write_midi(midi_of(score, performance, TimingForm::kTempoMap), "x.mid");
}

void whole_draft(benchmark::State& state, bool one_track) {
  const Bytes bytes = bytes_of(tunes(static_cast<int>(state.range(0)), one_track));
  std::size_t size = 0;
  for (auto _ : state) {
    Result<MidiFile> file = read_midi(bytes, "x.mid");
    Result<Score> score = score_of(*file, "x.mid");
    std::optional<Draft> draft = draft_of(*std::move(score), {}, false, {});
    draft->plan.score = "x.mid";
    const std::string text = plan_text(draft->plan, remarks_of(*draft, false));
    const Result<Plan> plan = parse_plan(text, "x.yaml");
    size = plan ? text.size() : 0;
    benchmark::DoNotOptimize(size);
  }
  state.counters["bytes"] = static_cast<double>(size);
  state.counters["s/bar"] = benchmark::Counter(
      static_cast<double>(state.range(0)),
      benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void two_tracks(benchmark::State& state) { whole_draft(state, false); }
void one_track(benchmark::State& state) { whole_draft(state, true); }

void hands_alone(benchmark::State& state) {
  const Score score = tunes(static_cast<int>(state.range(0)), true);
  for (auto _ : state) benchmark::DoNotOptimize(right_hand_notes(score, 0));
}

BENCHMARK(two_tracks)->Arg(500)->Arg(5'000)->Arg(20'000)->Unit(benchmark::kMillisecond);
BENCHMARK(one_track)->Arg(500)->Arg(5'000)->Arg(20'000)->Unit(benchmark::kMillisecond);
BENCHMARK(hands_alone)->Arg(5'000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace arsis
