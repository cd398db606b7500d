#include "sound/audio_output.h"

#include <fluidsynth.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstdlib>
#include <mutex>
#include <optional>
#include <string_view>
#include <thread>

#include "base/text.h"
#include "sound/audio_file.h"
#include "sound/handles.h"
#include "sound/jack_watch.h"
#include "sound/quiet_fluidsynth.h"
#include "sound/quiet_stderr.h"

namespace arsis {
namespace {

constexpr std::string_view kFile = "file";
constexpr std::size_t kMostFrames = 8192;  // handed to `fill` at once
// Frames a period and periods: 21 ms at 48 kHz, which slow machines can keep up with.
constexpr int kPeriod = 256;
constexpr int kPeriods = 4;

void add_option(void* all, const char*, const char* option) {
  static_cast<std::vector<std::string>*>(all)->emplace_back(option);
}

// What speaks, where several drivers would do, for each: a desktop's sound server first.
constexpr std::array<std::string_view, 4> kOrder = {"pulseaudio", "pipewire", "jack", "alsa"};

}  // namespace

struct AudioOutput::Handle {
  std::string driver;
  int sample_rate = 0;
  std::unique_ptr<fluid_settings_t, SettingsDeleter> settings;
  fluid_audio_driver_t* device = nullptr;

  std::mutex filling;  // held while the device's thread works with `fill`
  Fill fill;
  std::atomic<bool> started = false;
  std::atomic<std::uint64_t> frames = 0;
  std::vector<float> interleaved = std::vector<float>(kMostFrames * 2);

  // The driver "file".
  std::optional<AudioFile> file;
  std::thread pacer;
  std::mutex pacing;
  std::condition_variable wake;
  bool closing = false;

  ~Handle();
  static Result<std::unique_ptr<Handle>> file_of(const AudioOutputRequest& request);
  // None where the driver finds no device.
  static std::unique_ptr<Handle> device_of(const AudioOutputRequest& request,
                                           const std::string& driver);
  static int fill_planar(void* data, int count, int, float**, int channels, float** out);
  // The next frames, into `interleaved`. [device's thread]
  std::span<float> next(std::size_t count);
  void pace();
};

// FluidSynth's callback: planar buffers.
int AudioOutput::Handle::fill_planar(void* data, int count, int, float**, int channels,
                                     float** out) {
  auto& handle = *static_cast<Handle*>(data);
  for (std::size_t done = 0; done < static_cast<std::size_t>(count);) {
    const auto now = std::min(static_cast<std::size_t>(count) - done, kMostFrames);
    const std::span<float> made = handle.next(now);
    for (std::size_t i = 0; i < now; ++i) {
      for (int channel = 0; channel < channels; ++channel) {
        out[channel][done + i] = made[2 * i + static_cast<std::size_t>(channel % 2)];
      }
    }
    done += now;
  }
  return FLUID_OK;
}

AudioOutput::Handle::~Handle() {
  if (device != nullptr) {
    const QuietStderr quiet;
    delete_fluid_audio_driver(device);
  }
  if (pacer.joinable()) {
    {
      const std::lock_guard lock(pacing);
      closing = true;
    }
    wake.notify_all();
    pacer.join();
    static_cast<void>(file->finish());
  }
}

std::span<float> AudioOutput::Handle::next(std::size_t count) {
  const std::span<float> made = std::span(interleaved).first(count * 2);
  std::ranges::fill(made, 0.0F);
  {
    // Only contended at the very start and end.
    const std::unique_lock lock(filling, std::try_to_lock);
    if (lock && started && fill) fill(made);
  }
  frames += count;
  return made;
}

void AudioOutput::Handle::pace() {
  const auto begin = std::chrono::steady_clock::now();
  std::unique_lock lock(pacing);
  while (!closing) {
    const std::span<float> made = next(kPeriod);
    if (!file->write(made)) return;  // the frames stand still then, as if a device had gone
    const std::chrono::duration<double> due(static_cast<double>(frames.load()) / sample_rate);
    wake.wait_until(lock,
                    begin + std::chrono::duration_cast<std::chrono::steady_clock::duration>(due),
                    [&] { return closing; });
  }
}

std::vector<std::string> audio_drivers() {
  const std::unique_ptr<fluid_settings_t, SettingsDeleter> settings(new_fluid_settings());
  std::vector<std::string> all;
  fluid_settings_foreach_option(settings.get(), "audio.driver", &all, add_option);
  return all;
}

AudioOutput::AudioOutput(std::unique_ptr<Handle> handle) : handle_(std::move(handle)) {}
AudioOutput::AudioOutput(AudioOutput&&) noexcept = default;
AudioOutput& AudioOutput::operator=(AudioOutput&&) noexcept = default;
AudioOutput::~AudioOutput() = default;

namespace {

bool is_there(const std::filesystem::path& path) {
  std::error_code ignored;
  return std::filesystem::exists(path, ignored);
}

// Where a driver's service would be. Asking for one that is not there can take seconds.
bool may_work(std::string_view driver) {
  const char* runtime = std::getenv("XDG_RUNTIME_DIR");
  const std::filesystem::path sockets = runtime == nullptr ? "" : runtime;
  if (driver == "pulseaudio") {
    return std::getenv("PULSE_SERVER") != nullptr ||
           (!sockets.empty() && is_there(sockets / "pulse" / "native"));
  }
  if (driver == "pipewire") return !sockets.empty() && is_there(sockets / "pipewire-0");
  return true;
}

std::vector<std::string> candidates(const AudioOutputRequest& request) {
  if (!request.driver.empty()) return {request.driver};
  const std::vector<std::string> built = audio_drivers();
  std::vector<std::string> found;
  for (const std::string_view driver : kOrder) {
    const bool there = std::ranges::find(built, driver) != built.end();
    if (there && may_work(driver)) found.emplace_back(driver);
  }
  return found;
}

// What FluidSynth's driver is asked for.
void choose(fluid_settings_t* settings, const AudioOutputRequest& request,
            const std::string& driver) {
  fluid_settings_setstr(settings, "audio.driver", driver.c_str());
  fluid_settings_setint(settings, "audio.period-size", kPeriod);
  fluid_settings_setint(settings, "audio.periods", kPeriods);
  fluid_settings_setint(settings, "audio.jack.autoconnect", 1);
  fluid_settings_setstr(settings, "audio.jack.id", "arsis");
  fluid_settings_setnum(settings, "synth.sample-rate", request.sample_rate);
  if (request.device.empty()) return;
  const std::string setting =
      driver == "jack" ? "audio.jack.server" : "audio." + driver + ".device";
  fluid_settings_setstr(settings, setting.c_str(), request.device.c_str());
}

}  // namespace

Result<std::unique_ptr<AudioOutput::Handle>> AudioOutput::Handle::file_of(
    const AudioOutputRequest& request) {
  AudioSettings settings;
  settings.sample_rate = request.sample_rate;
  Result<AudioFile> file = AudioFile::create(request.file, settings);
  if (!file) return file.diagnostics();
  auto handle = std::make_unique<Handle>();
  handle->driver = kFile;
  handle->sample_rate = request.sample_rate;
  handle->file.emplace(*std::move(file));
  return handle;
}

std::unique_ptr<AudioOutput::Handle> AudioOutput::Handle::device_of(
    const AudioOutputRequest& request, const std::string& driver) {
  const QuietStderr quiet;
  auto handle = std::make_unique<Handle>();
  handle->driver = driver;
  handle->settings.reset(new_fluid_settings());
  choose(handle->settings.get(), request, driver);
  handle->device =
      new_fluid_audio_driver2(handle->settings.get(), Handle::fill_planar, handle.get());
  if (handle->device == nullptr) return nullptr;
  double rate = 0.0;  // JACK's own, whatever was asked for
  fluid_settings_getnum(handle->settings.get(), "synth.sample-rate", &rate);
  handle->sample_rate = static_cast<int>(rate);
  return handle;
}

Result<AudioOutput> AudioOutput::open(const AudioOutputRequest& request) {
  quiet_fluidsynth();
  start_no_jack_server();
  if (request.driver == kFile) {
    Result<std::unique_ptr<Handle>> handle = Handle::file_of(request);
    if (!handle) return handle.diagnostics();
    return AudioOutput(*std::move(handle));
  }
  for (const std::string& driver : candidates(request)) {
    if (auto handle = Handle::device_of(request, driver)) return AudioOutput(std::move(handle));
  }
  return fail({},
              request.driver.empty()
                  ? std::string("no audio device was found")
                  : fmt::format("the audio driver '{}' finds no device", printable(request.driver)),
              "play to a MIDI port with --port, or write a file with 'arsis render'");
}

const std::string& AudioOutput::driver() const { return handle_->driver; }
int AudioOutput::sample_rate() const { return handle_->sample_rate; }
std::uint64_t AudioOutput::frames() const { return handle_->frames; }

void AudioOutput::start(Fill fill) {
  {
    const std::lock_guard lock(handle_->filling);
    handle_->fill = std::move(fill);
    handle_->started = true;
  }
  // Only now, and without the lock, or the first period would be silent: nothing is
  // written where playing could not begin.
  if (handle_->file) handle_->pacer = std::thread([raw = handle_.get()] { raw->pace(); });
}

void AudioOutput::stop() {
  const std::lock_guard lock(handle_->filling);
  handle_->started = false;
  handle_->fill = nullptr;
}

}  // namespace arsis
