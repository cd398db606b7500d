// Several versions of one performance in one run: flat beside shaped, one level beside another.
#pragma once

#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "shape/layers.h"

namespace arsis {

struct Version {
  std::string name;  // as on the command line and in file names; empty for the only one
  Layers layers;
};

// The versions that the words name: "flat" (amount 0), "shaped" (as `layers` say), or a level's
// name (that level alone). Without words one version without a name. Errors: other words, a word
// twice.
Result<std::vector<Version>> versions_of(const std::vector<std::string>& words,
                                         const Layers& layers);

}  // namespace arsis
