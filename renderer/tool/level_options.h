// Which instrument the levels are meant for, the same for every command that sounds or writes a
// performance.
#pragma once

#include <filesystem>
#include <functional>
#include <span>
#include <string>

#include "base/diagnostic.h"
#include "shape/instrument.h"
#include "sound/level_survey.h"
#include "tool/load.h"

namespace CLI {
class App;
}

namespace arsis {

struct LevelOptions {
  std::string levels;  // "measured", "law", "plan"; empty: the plan's table where it has one
};

void add_level_options(CLI::App& command, LevelOptions& options);

// Errors of the command line: a word that is none of the three.
Diagnostics level_usage(const LevelOptions& options);

// The levels that the options ask for. `soundfont` is asked only for `measured`: which SoundFont
// sounds, or will. Warnings: kept levels that cannot be read or written, which are measured anew.
// Errors, and the exit code for them in `code`: `plan` without `levels:` in the plan (1), no
// SoundFont (3).
using FindSoundFont = std::function<Result<std::filesystem::path>()>;
Result<Instrument> instrument_of(const LevelOptions& options, const Loaded& loaded,
                                 const FindSoundFont& soundfont, int& code);

// The levels of these programs (from 0), from the cache where they are kept, else measured now,
// with a progress line, and kept. `anew`: measured in any case. Warnings: the cache cannot be read
// or written. Errors: the SoundFont cannot be loaded.
Result<LevelSurvey> survey_of(const std::filesystem::path& soundfont, std::span<const int> programs,
                              bool anew);

}  // namespace arsis
