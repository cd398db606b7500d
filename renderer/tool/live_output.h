// Where a performance that is played now is heard: a sound device or a MIDI port.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "base/diagnostic.h"
#include "sound/live.h"

namespace CLI {
class App;
}

namespace arsis {

struct LiveOutput {
  std::optional<std::string> port;  // none: sound
  std::string driver;
  std::string device;
  std::string soundfont;
  std::string reverb = "on";
};

// --soundfont, --driver and --device.
void add_sound_options(CLI::App& command, LiveOutput& output);

// Errors of the command line. `port_option`: the word that names the port.
Diagnostics live_output_usage(const LiveOutput& output, std::string_view port_option);

// Begins to play. `plan`: near which a SoundFont may lie. Errors: no device, port or SoundFont.
Result<LivePlayback> play_live(std::shared_ptr<const Rendition> rendition,
                               const PlayerSettings& settings, const LiveOutput& output,
                               const std::filesystem::path& plan);

}  // namespace arsis
