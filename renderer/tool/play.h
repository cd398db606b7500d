// `arsis play PLAN`: plays a performance now.
#pragma once

#include <functional>
#include <string>

#include "tool/layer_options.h"
#include "tool/level_options.h"
#include "tool/live_output.h"
#include "tool/passage_options.h"

namespace CLI {
class App;
}

namespace arsis {

struct PlayArgs {
  std::string plan;
  LayerOptions layers;
  LevelOptions levels;
  PassageOptions passage;
  bool loop = false;
  LiveOutput output;
  bool timings = false;
};

int run_play(const PlayArgs& args);

// Adds the command; when it is chosen, `run` is set to what it does.
void add_play(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
