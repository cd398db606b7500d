// The words that say how a performance sounds as audio: SoundFont, room, rate, depth, loudness.
#pragma once

#include <optional>
#include <string>

#include "base/diagnostic.h"
#include "sound/audio_file.h"
#include "sound/common_gain.h"

namespace CLI {
class App;
}

namespace arsis {

struct AudioOptions {
  std::string soundfont;
  std::string reverb = "on";
  std::string rate = "48000";
  std::string bits;      // empty: what the format has by default
  std::string loudness;  // empty: as played
  std::string peak;      // empty: -1 dB
};

struct AudioRequest {
  std::string soundfont;  // empty: none was named
  bool reverb = true;
  int sample_rate = 48'000;  // frames a second, 22,050 to 96,000
  std::optional<SampleDepth> depth;
  LevelTarget level;
};

void add_audio_options(CLI::App& command, AudioOptions& options);

// Errors, all of them: those of the command line. Whether a file format takes the rate and the
// depth, check_audio says.
Result<AudioRequest> audio_request_of(const AudioOptions& options);

}  // namespace arsis
