// `arsis render PLAN -o FILE`: writes performances as MIDI or audio.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "tool/audio_options.h"
#include "tool/layer_options.h"
#include "tool/level_options.h"
#include "tool/passage_options.h"

namespace CLI {
class App;
}

namespace arsis {

struct RenderArgs {
  std::vector<std::string> plans;
  std::string output;  // where there are several performances, their names come before its ending
  std::vector<std::string> versions;
  std::string timing = "tempo-map";
  PassageOptions passage;
  LayerOptions layers;
  LevelOptions levels;
  AudioOptions audio;
};

int run_render(const RenderArgs& args);

// Adds the command; when it is chosen, `run` is set to what it does.
void add_render(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
