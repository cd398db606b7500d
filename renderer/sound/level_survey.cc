#include "sound/level_survey.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <optional>
#include <thread>
#include <utility>

#include "sound/synthesizer.h"

namespace arsis {
namespace {

constexpr int kSurveyRate = 48'000;
constexpr std::size_t kHeard = 225;         // blocks: 300 ms
constexpr std::size_t kSilentBlocks = 2;    // blocks, for voices that were cut off to be gone
constexpr double kFaintest = 1e-15;         // mean power: -150 dB, far under what any voice makes
constexpr unsigned kMostThreads = 8;        // each holds a synthesizer
constexpr std::uint8_t kAllSoundOff = 120;  // MIDI 1.0 controller

using Block = std::array<float, kBlock * 2>;

std::vector<int> usual_keys() {
  std::vector<int> keys;
  for (int key = 24; key <= 102; key += 6) keys.push_back(key);
  return keys;
}

std::vector<Velocity> usual_velocities() {
  std::vector<Velocity> velocities = {Velocity::clamped(1)};
  for (int velocity = 8; velocity <= 120; velocity += 8) {
    velocities.push_back(Velocity::clamped(velocity));
  }
  velocities.push_back(Velocity::clamped(127));
  return velocities;
}

void send(Synthesizer& synthesizer, std::uint8_t status, int first, int second) {
  const std::array<std::uint8_t, 3> message = {status, static_cast<std::uint8_t>(first),
                                               static_cast<std::uint8_t>(second)};
  synthesizer.send(message);
}

void silence(Synthesizer& synthesizer) {
  Block block{};
  send(synthesizer, 0xB0, kAllSoundOff, 0);
  for (std::size_t i = 0; i < kSilentBlocks; ++i) synthesizer.render(block);
}

// A voice of FluidSynth's sounds some thousandths of a decibel softer the first time that it is
// used than ever after. Using all of them makes a survey the same whichever thread measures what
// first.
void use_every_voice(Synthesizer& synthesizer) {
  Block block{};
  for (int i = 0; i < kVoices; ++i) send(synthesizer, 0x90, i / 2, 127);
  synthesizer.render(block);
  silence(synthesizer);
}

// Of a note on a silent synthesizer, which is silent again afterwards; none where nothing sounds.
std::optional<Decibels> level_of_note(Synthesizer& synthesizer, int key, Velocity velocity) {
  Block block{};
  double energy = 0.0;
  send(synthesizer, 0x90, key, velocity.value());
  for (std::size_t i = 0; i < kHeard; ++i) {
    synthesizer.render(block);
    for (const float sample : block) energy += double{sample} * double{sample};
  }
  silence(synthesizer);
  const double power = energy / static_cast<double>(kHeard * std::size_t{kBlock});
  if (!(power > kFaintest)) return std::nullopt;
  return Decibels{10.0 * std::log10(power)};
}

// One key of one program, and what was heard of it.
struct Task {
  int program = 0;
  KeyLevels heard;
};

void measure(Synthesizer& synthesizer, std::span<const Velocity> velocities, Task& task) {
  const std::array<std::uint8_t, 2> program = {0xC0, static_cast<std::uint8_t>(task.program)};
  synthesizer.send(program);
  use_every_voice(synthesizer);
  for (const Velocity velocity : velocities) {
    const auto level = level_of_note(synthesizer, task.heard.key, velocity);
    if (level) task.heard.points.push_back({velocity, *level});
  }
}

// Shares the tasks out among the synthesizers, a thread each; this one shows the progress.
void measure_all(std::vector<Synthesizer>& synthesizers, std::span<const Velocity> velocities,
                 std::vector<Task>& tasks, const std::function<void(double)>& progress) {
  std::atomic<std::size_t> next = 0;
  std::atomic<std::size_t> done = 0;
  const auto work = [&](Synthesizer& synthesizer, bool shows) {
    for (std::size_t i = next++; i < tasks.size(); i = next++) {
      measure(synthesizer, velocities, tasks[i]);
      const double share = static_cast<double>(++done) / static_cast<double>(tasks.size());
      if (shows && progress) progress(share);
    }
  };
  std::vector<std::jthread> threads;
  for (std::size_t i = 1; i < synthesizers.size(); ++i) {
    threads.emplace_back(work, std::ref(synthesizers[i]), false);
  }
  work(synthesizers.front(), true);
}

std::vector<Task> tasks_of(const SurveyRequest& request) {
  const std::vector<int> keys = request.keys.empty() ? usual_keys() : request.keys;
  std::vector<Task> tasks;
  for (const int program : request.programs) {
    assert(program >= 0 && program <= 127);
    for (const int key : keys) {
      assert(key >= 0 && key <= 127);
      tasks.push_back({program, {key, {}}});
    }
  }
  return tasks;
}

Result<std::vector<Synthesizer>> synthesizers_for(const SurveyRequest& request, std::size_t tasks) {
  const std::size_t cores = std::clamp(std::thread::hardware_concurrency(), 1u, kMostThreads);
  std::vector<Synthesizer> synthesizers;
  for (std::size_t i = 0; i < std::clamp<std::size_t>(tasks, 1, cores); ++i) {
    Result<Synthesizer> made =
        Synthesizer::with(request.soundfont, {.sample_rate = kSurveyRate, .reverb = false});
    if (!made) return made.diagnostics();
    synthesizers.push_back(*std::move(made));
  }
  return synthesizers;
}

}  // namespace

Result<std::vector<int>> melodic_programs(const std::filesystem::path& soundfont) {
  const Result<Synthesizer> synthesizer = Synthesizer::with(soundfont, {.reverb = false});
  if (!synthesizer) return synthesizer.diagnostics();
  return synthesizer->melodic_programs();
}

Result<LevelSurvey> survey_levels(const SurveyRequest& request) {
  std::vector<Task> tasks = tasks_of(request);
  Result<std::vector<Synthesizer>> synthesizers = synthesizers_for(request, tasks.size());
  if (!synthesizers) return synthesizers.diagnostics();
  const std::vector<Velocity> velocities =
      request.velocities.empty() ? usual_velocities() : request.velocities;
  measure_all(*synthesizers, velocities, tasks, request.progress);

  std::map<int, std::vector<KeyLevels>> heard;
  for (Task& task : tasks) heard[task.program].push_back(std::move(task.heard));
  LevelSurvey survey;
  for (auto& [program, keys] : heard) survey[program] = LevelTable::of(std::move(keys));
  return survey;
}

}  // namespace arsis
