// The structure of a plan as text for a musician and as JSON for a program. plans/README.md
// documents the JSON.
#pragma once

#include <string>

#include "base/diagnostic.h"
#include "shape/perform.h"
#include "tool/load.h"

namespace arsis {

// An indented tree: sentences, phrases, motifs, with bars, mains, goals, ceiling and level at each
// goal. Then the dynamics and marks in force; `all` of them, or the first of each.
std::string outline_text(const Loaded& loaded, const Shaped& shaped, bool all);

// `loaded` and `shaped` are null where the input is at fault: then only the diagnostics are told.
std::string outline_json(const Loaded* loaded, const Shaped* shaped,
                         const Diagnostics& diagnostics);

}  // namespace arsis
