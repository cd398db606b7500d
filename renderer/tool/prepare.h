// What every command that sounds makes ready before it performs: piece, passage, instrument.
#pragma once

#include <optional>
#include <string>

#include "shape/instrument.h"
#include "tool/level_options.h"
#include "tool/load.h"
#include "tool/passage_options.h"

namespace arsis {

struct Prepared {
  Loaded loaded;  // at the passage's speed
  Passage passage;
  Instrument instrument;
};

// Reports errors and warnings itself. None: with the exit code for it in `code`.
//   soundfont  as named on the command line; empty: none
std::optional<Prepared> prepare(const std::string& plan, const PassageOptions& passage,
                                const LevelOptions& levels, const std::string& soundfont,
                                int& code);

}  // namespace arsis
