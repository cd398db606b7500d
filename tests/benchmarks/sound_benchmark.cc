// How long sound takes: loading the SoundFont, and rendering and writing a dense piano piece;
// beside it FluidSynth's own way to render the same notes. The figures are kept in DEVELOPERS.md.
#include <benchmark/benchmark.h>
#include <fluidsynth.h>

#include <array>
#include <chrono>
#include <ctime>
#include <filesystem>
#include <string>
#include <vector>

#include "smf/midi_file.h"
#include "smf/performance_writer.h"
#include "sound/audio_file.h"
#include "sound/clips.h"
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

std::filesystem::path scratch(const std::string& name) {
  return std::filesystem::temp_directory_path() / ("arsis-benchmark-" + name);
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

void BM_LoadBank(benchmark::State& state) {
  const std::filesystem::path font = small_font();
  BankSettings settings;
  settings.leads.clear();
  for (int i = 0; i < state.range(0); ++i) settings.leads.push_back(i);
  for (auto _ : state) {
    const Result<SynthesizerBank> made = SynthesizerBank::with(font, settings);
    if (!made) return state.SkipWithError("no SoundFont");
  }
}

// Frames alone: by number of synthesizers and of threads.
void BM_RenderFrames(benchmark::State& state) {
  const Piece piece = dense_piece(1500);
  RenderRequest request;
  request.soundfont = small_font();
  request.beside = scratch("frames.wav");
  request.bank.leads.clear();
  const auto synthesizers = static_cast<int>(state.range(0));
  for (int i = 0; i < synthesizers; ++i) request.bank.leads.push_back(i * kBlock / synthesizers);
  request.bank.threads = static_cast<int>(state.range(1));
  request.measures_loudness = state.range(2) != 0;
  double seconds = 0.0;
  for (auto _ : state) {
    bool failed = false;
    const Result<Rendered> done = render_frames(piece.score, piece.performance, request, failed);
    if (!done) return state.SkipWithError("cannot be rendered");
    seconds += done->length().value;
  }
  state.SetLabel(std::to_string(synthesizers) + " synthesizers, " +
                 std::to_string(request.bank.threads) + " threads" +
                 (request.measures_loudness ? ", loudness" : ""));
  state.counters["times_real"] = benchmark::Counter(seconds, benchmark::Counter::kIsRate);
}

// Sounds of a listening page: five of a minute, in memory.
void BM_RenderClips(benchmark::State& state) {
  const Piece piece = dense_piece(1500);
  const std::vector<ClipSource> sources(5, {&piece.score, &piece.performance});
  ClipSettings settings;
  settings.soundfont = small_font();
  settings.beside = scratch("clips.html");
  settings.most_bytes = static_cast<std::size_t>(state.range(0));
  double seconds = 0.0;
  std::size_t bytes = 0;
  for (auto _ : state) {
    bool failed = false;
    const Result<ClipSet> done = render_clips(sources, settings, failed);
    if (!done) return state.SkipWithError("cannot be rendered");
    bytes = 0;
    for (const Clip& clip : done->clips) {
      seconds += clip.length.value;
      bytes += clip.opus.size();
    }
    state.SetLabel(done->channels == 2 ? "stereo" : "mono");
  }
  state.counters["times_real"] = benchmark::Counter(seconds, benchmark::Counter::kIsRate);
  state.counters["kB"] = static_cast<double>(bytes) / 1000.0;
}

// FluidSynth's player and file renderer over the same notes as a MIDI file, with the settings of
// our synthesizer; as many frames as ours.
bool render_with_the_player(const std::filesystem::path& midi, const std::filesystem::path& wav,
                            std::uint64_t frames) {
  fluid_settings_t* settings = new_fluid_settings();
  fluid_settings_setnum(settings, "synth.sample-rate", 48'000.0);
  fluid_settings_setnum(settings, "synth.gain", 1.0);
  fluid_settings_setint(settings, "synth.polyphony", 256);
  fluid_settings_setint(settings, "synth.chorus.active", 0);
  fluid_settings_setnum(settings, "synth.reverb.room-size", 0.35);
  fluid_settings_setnum(settings, "synth.reverb.damp", 0.3);
  fluid_settings_setnum(settings, "synth.reverb.width", 0.6);
  fluid_settings_setnum(settings, "synth.reverb.level", 0.25);
  fluid_settings_setint(settings, "synth.lock-memory", 0);
  fluid_settings_setstr(settings, "player.timing-source", "sample");
  fluid_settings_setstr(settings, "audio.file.name", wav.c_str());
  fluid_settings_setstr(settings, "audio.file.type", "wav");
  fluid_settings_setstr(settings, "audio.file.format", "s24");
  fluid_synth_t* synth = new_fluid_synth(settings);
  fluid_synth_sfload(synth, small_font().c_str(), 1);
  fluid_player_t* player = new_fluid_player(synth);
  fluid_player_add(player, midi.c_str());
  fluid_player_play(player);
  fluid_file_renderer_t* renderer = new_fluid_file_renderer(synth);
  bool done = renderer != nullptr;
  for (std::uint64_t frame = 0; done && frame < frames; frame += kBlock) {
    done = fluid_file_renderer_process_block(renderer) == FLUID_OK;
  }
  delete_fluid_file_renderer(renderer);
  delete_fluid_player(player);
  delete_fluid_synth(synth);
  delete_fluid_settings(settings);
  return done;
}

Result<Done> write_as_midi(const Piece& piece, const std::filesystem::path& path) {
  const Result<Bytes> bytes =
      write_midi(midi_of(piece.score, piece.performance, TimingForm::kTicks), path.string());
  if (!bytes) return bytes.diagnostics();
  return write_file(path, *bytes);
}

// Both ways in turn, so that what else the machine does meets both alike. `ratio` is the time of
// ours divided by that of FluidSynth's own, `work_ratio` that of the cores' time.
void BM_AgainstFluidSynthsOwnWay(benchmark::State& state) {
  using Clock = std::chrono::steady_clock;
  const Piece piece = dense_piece(static_cast<int>(state.range(0)));
  OfflineRequest request;
  request.soundfont = small_font();
  request.target = scratch("ours.wav");
  const std::filesystem::path midi = scratch("notes.mid");
  if (!write_as_midi(piece, midi)) return state.SkipWithError("cannot be written as MIDI");
  std::chrono::duration<double> ours{0.0};
  std::chrono::duration<double> theirs{0.0};
  std::clock_t our_work = 0;  // of all threads
  std::clock_t their_work = 0;
  for (auto _ : state) {
    const auto begin = Clock::now();
    const std::clock_t work_begin = std::clock();
    bool failed = false;
    const Result<OfflineReport> done =
        render_offline(piece.score, piece.performance, request, failed);
    const auto middle = Clock::now();
    const std::clock_t work_middle = std::clock();
    if (!done || !render_with_the_player(midi, scratch("theirs.wav"), done->frames)) {
      return state.SkipWithError("cannot be rendered");
    }
    ours += middle - begin;
    theirs += Clock::now() - middle;
    our_work += work_middle - work_begin;
    their_work += std::clock() - work_middle;
  }
  for (const char* name : {"ours.wav", "theirs.wav", "notes.mid"}) {
    std::filesystem::remove(scratch(name));
  }
  const auto times = static_cast<double>(state.iterations());
  state.counters["ours_ms"] = ours.count() * 1e3 / times;
  state.counters["theirs_ms"] = theirs.count() * 1e3 / times;
  state.counters["ratio"] = ours.count() / theirs.count();
  state.counters["work_ratio"] = static_cast<double>(our_work) / static_cast<double>(their_work);
}

// Seconds of music for each second of wall time on all cores, from the performance to the file.
void BM_RenderDensePiano(benchmark::State& state) {
  const Piece piece = dense_piece(1500);
  const std::string ending(audio_endings()[static_cast<std::size_t>(state.range(0))]);
  OfflineRequest request;
  request.soundfont = small_font();
  request.target = scratch("x" + ending);
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
BENCHMARK(BM_LoadBank)
    ->Arg(1)
    ->Arg(4)
    ->Arg(8)
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime()
    ->UseRealTime();
BENCHMARK(BM_AgainstFluidSynthsOwnWay)
    ->Arg(1'500)
    ->Arg(9'000)
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime()
    ->UseRealTime();
BENCHMARK(BM_RenderFrames)
    ->Args({1, 1, 0})
    ->Args({4, 1, 0})
    ->Args({4, 2, 0})
    ->Args({8, 2, 0})
    ->Args({4, 2, 1})
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime()
    ->UseRealTime();
BENCHMARK(BM_RenderClips)
    ->Arg(5'000'000)
    ->Arg(1'000'000)
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime()
    ->UseRealTime();
BENCHMARK(BM_Timeline)->Arg(10'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);
BENCHMARK(BM_RenderDensePiano)
    ->Args({0, 0})
    ->Args({0, 1})
    ->Args({1, 1})
    ->Args({2, 1})
    ->Args({3, 1})
    ->Args({4, 1})
    ->Unit(benchmark::kMillisecond)
    ->MeasureProcessCPUTime()
    ->UseRealTime();

}  // namespace
}  // namespace arsis
