// `arsis audition PLAN --phrase 2.1`: one passage in several readings, one after the other, so that
// they can be compared; to a file, or played now.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "tool/audio_options.h"
#include "tool/device_options.h"
#include "tool/layer_options.h"
#include "tool/level_options.h"
#include "tool/passage_options.h"

namespace CLI {
class App;
}

namespace arsis {

struct AuditionArgs {
  std::string plan;
  std::string against;  // another plan of the same score; empty: the readings of a block
  std::string output;   // empty: played now
  bool lead_in = false;
  std::optional<std::string> blind;  // how many pairs; none: not blind
  std::string order;                 // a whole number for the order of the pairs; empty: by chance
  PassageOptions passage;
  LayerOptions layers;
  LevelOptions levels;
  AudioOptions audio;
  DeviceOptions where;
};

int run_audition(const AuditionArgs& args);

// Adds the command; when it is chosen, `run` is set to what it does.
void add_audition(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
