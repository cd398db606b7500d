#include "tool/device_options.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <utility>

#include "base/text.h"
#include "tool/soundfont_choice.h"

namespace arsis {
namespace {

constexpr std::string_view kFileDriver = "file=";

bool is_file(const DeviceOptions& options) { return options.driver.starts_with(kFileDriver); }

void question_port(const DeviceOptions& options, const SynthesizerWords& words,
                   const std::string& port_option, Diagnostics& errors) {
  const bool audio = !options.driver.empty() || !options.device.empty() || !words.soundfont.empty();
  if (!options.port) return;
  if (trimmed(*options.port).empty()) {
    errors.push_back(error({}, port_option + " names no port",
                           "write a part of a name that 'arsis ports' lists"));
  }
  if (audio) {
    errors.push_back(error({},
                           port_option + " does not go with an audio driver, device or SoundFont",
                           "leave out one or the other"));
  }
}

void question_driver(const DeviceOptions& options, Diagnostics& errors) {
  if (options.driver.empty() || is_file(options)) return;
  std::vector<std::string> drivers = audio_drivers();
  if (options.driver != "file" && std::ranges::find(drivers, options.driver) != drivers.end()) {
    return;
  }
  std::erase(drivers, "file");
  drivers.emplace_back("file=NAME.wav");
  const std::vector<std::string_view> names(drivers.begin(), drivers.end());
  errors.push_back(error({}, fmt::format("--driver cannot be '{}'", printable(options.driver)),
                         "write " + listed(names)));
}

}  // namespace

LiveSound live_sound(const DeviceOptions& options, const SynthesizerWords& words,
                     const std::filesystem::path& soundfont) {
  LiveSound sound;
  sound.soundfont = soundfont;
  sound.synthesizer.reverb = words.reverb == "on";
  sound.synthesizer.beneath = soundfont_beneath(words.soundfont, soundfont);
  sound.output.driver = options.driver;
  sound.output.device = options.device;
  if (is_file(options)) {
    sound.output.driver = "file";
    sound.output.file = options.driver.substr(kFileDriver.size());
  }
  return sound;
}

void add_device_options(CLI::App& command, DeviceOptions& options, const std::string& port_option) {
  command.add_option(port_option, options.port,
                     "play to this MIDI port; 'arsis ports' lists them, a part of the name does");
  command.add_option("--driver", options.driver,
                     "the audio driver, as in alsa; or file=NAME.wav, which needs no device");
  command.add_option("--device", options.device, "the device of that driver");
}

Diagnostics device_usage(const DeviceOptions& options, const SynthesizerWords& words,
                         const LevelOptions& levels, const std::string& port_option) {
  Diagnostics errors = level_usage(levels);
  if (words.reverb != "on" && words.reverb != "off") {
    errors.push_back(error({}, fmt::format("--reverb cannot be '{}'", printable(words.reverb)),
                           "write on or off"));
  }
  if (options.port && levels.levels == "measured") {
    errors.push_back(error({}, "--levels measured measures a SoundFont, which no port has",
                           "type the instrument's levels into the plan, as 'levels:'"));
  }
  question_port(options, words, port_option, errors);
  question_driver(options, errors);
  return errors;
}

Result<LivePlayback> start_playing(std::shared_ptr<const Rendition> rendition,
                                   const PlayerSettings& settings, const DeviceOptions& options,
                                   const SynthesizerWords& words, const std::string& plan) {
  if (options.port) {
    Result<MidiPort> port = MidiPort::open(*options.port);
    if (!port) return port.diagnostics();
    return LivePlayback::to_port(std::move(rendition), settings, *std::move(port));
  }
  const Result<std::filesystem::path> soundfont = choose_soundfont(words.soundfont, plan);
  if (!soundfont) return soundfont.diagnostics();
  return LivePlayback::through_synthesizer(std::move(rendition), settings,
                                           live_sound(options, words, *soundfont));
}

}  // namespace arsis
