// The words that say what of the model is to be heard, the same for every command that sounds.
#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "shape/layers.h"

namespace arsis {

struct LayerOptions {
  std::vector<std::string> only;
  std::vector<std::string> without;
  std::string amount = "100%";
  std::string touch = "on";
  std::string seed;
};

void add_layer_options(CLI::App& command, LayerOptions& options);

// Errors are those of the command line.
Result<Layers> layers_of(const LayerOptions& options);

}  // namespace arsis
