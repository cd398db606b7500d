// `arsis render PLAN -o FILE`: writes a performance as MIDI or audio.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>

#include "tool/layer_options.h"
#include "tool/level_options.h"
#include "tool/passage_options.h"

namespace arsis {

struct RenderArgs {
  std::string plan;
  std::string output;
  std::string timing = "tempo-map";
  PassageOptions passage;
  LayerOptions layers;
  LevelOptions levels;
  std::string soundfont;
  std::string reverb = "on";
};

int run_render(const RenderArgs& args);

// Adds the command; when it is chosen, `run` is set to what it does.
void add_render(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
