// The whole of `arsis draft`, from the file's bytes to the plan's text and back: time over pieces
// of 500, 5,000 and 20,000 bars, two hands in two tracks or in one. It should grow as bars. Figures
// are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <tuple>

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

void add(Score& score, double onset, double length, std::uint16_t part, int key) {
  Note note;
  note.onset = {onset};
  note.end = {onset + length};
  note.part = part;
  note.key = static_cast<std::uint8_t>(key);
  score.notes.push_back(note);
}

// Eight-bar tunes in 4/4 with a rest every four bars, over chords in halves.
Score tunes(int bars, bool one_track) {
  Score score;
  score.file = "x.mid";
  const std::uint16_t left = one_track ? 0 : 1;
  score.parts = {{"right", 0, 1, 0}, {"left", 1, 2, 1}};
  score.tracks = {{"right", {bars * 4.0}}, {"left", {bars * 4.0}}};
  if (one_track) {
    score.parts.pop_back();
    score.tracks.pop_back();
  }
  constexpr std::array<int, 7> kScale = {0, 2, 4, 5, 7, 9, 11};
  for (int bar = 0; bar < bars; ++bar) {
    for (const int key : {36, 48, 52, 55}) {
      add(score, bar * 4.0, 2.0, left, key + bar % 5);
      add(score, bar * 4.0 + 2.0, 2.0, left, key + bar % 5);
    }
    const int eighths = bar % 4 == 3 ? 4 : 8;
    for (int i = 0; i < eighths; ++i) {
      const auto step = static_cast<std::size_t>((bar * 5 + i * (bar % 3 + 1)) % 7);
      add(score, bar * 4.0 + i * 0.5, 0.5, 0, 72 + kScale[step]);
    }
  }
  std::ranges::stable_sort(score.notes, {}, [](const Note& note) {
    return std::tuple(note.onset, note.part, note.key);
  });
  std::uint32_t sequence = 0;
  for (Note& note : score.notes) note.sequence = sequence++;
  score.bars = Bars::of({}, score.end());
  return score;
}

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
