// The words that say where something is played now: a MIDI port, or an audio device and what sounds
// it. The same for every command that plays.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>

#include "base/diagnostic.h"
#include "sound/live.h"
#include "tool/level_options.h"

namespace CLI {
class App;
}

namespace arsis {

struct DeviceOptions {
  std::optional<std::string> port;
  std::string driver;
  std::string device;
};

// What sounds on an audio device, as --soundfont and --reverb say it.
struct SynthesizerWords {
  std::string soundfont;
  std::string reverb = "on";
};

// `port_option`: the word that names the port, here and below.
void add_device_options(CLI::App& command, DeviceOptions& options,
                        const std::string& port_option = "--port");

// Errors of the command line, those of the level options among them.
Diagnostics device_usage(const DeviceOptions& options, const SynthesizerWords& words,
                         const LevelOptions& levels, const std::string& port_option = "--port");

// What will sound on an audio device.
LiveSound live_sound(const DeviceOptions& options, const SynthesizerWords& words,
                     const std::filesystem::path& soundfont);

// Begins to play. Errors: there is no such port or device, or no SoundFont (exit code 3).
//   plan  whose neighbouring folder may hold a SoundFont
Result<LivePlayback> start_playing(std::shared_ptr<const Rendition> rendition,
                                   const PlayerSettings& settings, const DeviceOptions& options,
                                   const SynthesizerWords& words, const std::string& plan);

}  // namespace arsis
