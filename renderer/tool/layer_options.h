// The words that say what of the model is to be heard, the same for every command that sounds.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "shape/layers.h"
#include "tool/load.h"

namespace CLI {
class App;
}

namespace arsis {

struct LayerOptions {
  std::vector<std::string> only;
  std::vector<std::string> without;
  std::string amount = "100%";
  std::string touch;  // empty: on, but see layers_for()
  std::string seed;
};

void add_layer_options(CLI::App& command, LayerOptions& options);

// Errors are those of the command line.
Result<Layers> layers_of(const LayerOptions& options);

// The same for this piece. A score alone that is to be flat is converted: every note is where and
// as it is written, without touch too unless that is asked for.
Layers layers_for(const Loaded& loaded, Layers layers, const LayerOptions& options);

}  // namespace arsis
