// How long sound takes: loading the SoundFont, and rendering and writing a dense piano piece. The
// figures are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>

#include <array>
#include <filesystem>
#include <string>

#include "sound/audio_file.h"
#include "sound/offline.h"
#include "sound/soundfont.h"
#include "sound/synthesizer.h"
#include "sound/timeline.h"

namespace arsis {
namespace {

struct Piece {
  Score score;
  Performance performance;
};

void add_note(Piece& piece, double onset, std::uint16_t hand, int key) {
  Note note;
  note.onset = {onset};
  note.end = {onset + 0.24};
  note.part = hand;
  note.key = static_cast<std::uint8_t>(key);
  piece.score.notes.push_back(note);
  piece.performance.notes.push_back(
      {{onset / 2.0}, {(onset + 0.24) / 2.0}, Velocity::clamped(60 + key % 40)});
}

void add_pedal(Piece& piece, double at, std::uint8_t value) {
  Score& score = piece.score;
  score.messages.push_back({{at}, 0, static_cast<std::uint32_t>(score.message_bytes.size()), 3, 0});
  const std::array<std::uint8_t, 3> bytes = {0xB0, 64, value};
  score.message_bytes.insert(score.message_bytes.end(), bytes.begin(), bytes.end());
}

// Sixteenths at 120 quarter notes a minute: two notes in the right hand, one in the left, 24 notes
// a second, the pedal changed every two quarter notes.
Piece dense_piece(int notes) {
  Piece piece;
  piece.score.tracks.resize(2);
  piece.score.parts = {{"right", 0, 1, 0}, {"left", 1, 2, 0}};
  for (int i = 0; i < notes / 3; ++i) {
    const double onset = i / 4.0;
    if (i % 8 == 0) {
      add_pedal(piece, onset, 0);
      add_pedal(piece, onset, 127);
    }
    const int right = 72 + (i * 5 + i / 8 * 3) % 12;
    add_note(piece, onset, 0, right);
    add_note(piece, onset, 0, right + 9);
    add_note(piece, onset, 1, 40 + (i * 7) % 24);
  }
  return piece;
}

std::filesystem::path small_font() {
  SoundFontSearch search;
  search.system = system_soundfonts();
  const Result<std::filesystem::path> font = find_soundfont(search);
  return font ? *font : std::filesystem::path();
}

void BM_LoadSoundFont(benchmark::State& state) {
  const std::filesystem::path font = small_font();
  for (auto _ : state) {
    const Result<Synthesizer> made = Synthesizer::with(font, {});
    if (!made) return state.SkipWithError("no SoundFont");
  }
}

void BM_Timeline(benchmark::State& state) {
  const Piece piece = dense_piece(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(timeline(piece.score, piece.performance));
}

// Seconds of music for each second of work on one core, from the performance to the file.
void BM_RenderDensePiano(benchmark::State& state) {
  const Piece piece = dense_piece(1500);
  const std::string ending(audio_endings()[static_cast<std::size_t>(state.range(0))]);
  OfflineRequest request;
  request.soundfont = small_font();
  request.target = std::filesystem::temp_directory_path() / ("arsis-benchmark" + ending);
  request.synthesizer.reverb = state.range(1) != 0;
  double seconds = 0.0;
  double kilobits = 0.0;
  for (auto _ : state) {
    bool failed = false;
    const Result<OfflineReport> done =
        render_offline(piece.score, piece.performance, request, failed);
    if (!done) return state.SkipWithError("cannot be rendered");
    seconds += done->length.value;
    kilobits = static_cast<double>(std::filesystem::file_size(request.target)) * 0.008 /
               done->length.value;
  }
  std::filesystem::remove(request.target);
  state.SetLabel(ending + (request.synthesizer.reverb ? ", reverb" : ", dry"));
  state.counters["times_real"] = benchmark::Counter(seconds, benchmark::Counter::kIsRate);
  state.counters["kb/s"] = kilobits;
}

BENCHMARK(BM_LoadSoundFont)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_Timeline)->Arg(10'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_RenderDensePiano)
    ->Args({0, 0})
    ->Args({0, 1})
    ->Args({1, 1})
    ->Args({2, 1})
    ->Args({3, 1})
    ->Args({4, 1})
    ->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace arsis
