#include "tool/live_output.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <utility>
#include <vector>

#include "base/text.h"
#include "tool/soundfont_choice.h"

namespace arsis {
namespace {

constexpr std::string_view kFileDriver = "file=";

LiveSound sound_of(const LiveOutput& output, const std::filesystem::path& soundfont) {
  LiveSound sound;
  sound.soundfont = soundfont;
  sound.synthesizer.reverb = output.reverb == "on";
  sound.synthesizer.beneath = soundfont_beneath(output.soundfont, soundfont);
  sound.output.driver = output.driver;
  sound.output.device = output.device;
  if (output.driver.starts_with(kFileDriver)) {
    sound.output.driver = "file";
    sound.output.file = output.driver.substr(kFileDriver.size());
  }
  return sound;
}

}  // namespace

void add_sound_options(CLI::App& command, LiveOutput& output) {
  command.add_option("--soundfont", output.soundfont, "an SF2 or SF3 file to sound it with");
  command.add_option("--driver", output.driver,
                     "the audio driver, as in alsa; or file=NAME.wav, which needs no device");
  command.add_option("--device", output.device, "the device of that driver");
}

Diagnostics live_output_usage(const LiveOutput& output, std::string_view port_option) {
  Diagnostics errors;
  if (output.reverb != "on" && output.reverb != "off") {
    errors.push_back(error({}, fmt::format("--reverb cannot be '{}'", printable(output.reverb)),
                           "write on or off"));
  }
  const bool audio = !output.driver.empty() || !output.device.empty() || !output.soundfont.empty();
  if (output.port && trimmed(*output.port).empty()) {
    errors.push_back(error({}, fmt::format("{} names no port", port_option),
                           "write a part of a name that 'arsis ports' lists"));
  }
  if (output.port && audio) {
    errors.push_back(error(
        {}, fmt::format("{} does not go with an audio driver, device or SoundFont", port_option),
        "leave out one or the other"));
  }
  std::vector<std::string> drivers = audio_drivers();
  const bool file = output.driver.starts_with(kFileDriver);
  if (!output.driver.empty() && !file &&
      (output.driver == "file" || std::ranges::find(drivers, output.driver) == drivers.end())) {
    std::erase(drivers, "file");
    drivers.emplace_back("file=NAME.wav");
    const std::vector<std::string_view> names(drivers.begin(), drivers.end());
    errors.push_back(error({}, fmt::format("--driver cannot be '{}'", printable(output.driver)),
                           "write " + listed(names)));
  }
  return errors;
}

Result<LivePlayback> play_live(std::shared_ptr<const Rendition> rendition,
                               const PlayerSettings& settings, const LiveOutput& output,
                               const std::filesystem::path& plan) {
  if (output.port) {
    Result<MidiPort> port = MidiPort::open(*output.port);
    if (!port) return port.diagnostics();
    return LivePlayback::to_port(std::move(rendition), settings, *std::move(port));
  }
  const Result<std::filesystem::path> soundfont = choose_soundfont(output.soundfont, plan);
  if (!soundfont) return soundfont.diagnostics();
  return LivePlayback::through_synthesizer(std::move(rendition), settings,
                                           sound_of(output, *soundfont));
}

}  // namespace arsis
