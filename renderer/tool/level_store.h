// Measured levels of SoundFonts, kept as JSON in the cache folder so that each is measured once.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "base/diagnostic.h"
#include "sound/level_survey.h"

namespace arsis {

// Where the levels of a SoundFont are kept: a name made of its own, its size and the time it was
// last changed, so that a changed one is measured anew. Empty where there is no cache folder or no
// such SoundFont.
std::filesystem::path level_store_of(const std::filesystem::path& soundfont);

// One object: `arsis_levels` (1, the version), `soundfont` (its file name), and `programs`, a list
// of `program` (1..128) and `keys`, a list of `key` and `points`: [velocity, dB] each. What is read
// of what was written is equal to it.
std::string levels_text(const LevelSurvey& survey, std::string_view soundfont);
// `file` is for messages. Errors: not JSON, another version, a number out of its range.
Result<LevelSurvey> parse_levels(std::string_view text, const std::string& file);

// Errors: as parse_levels, and those of read_file; nothing is kept there yet: an empty survey.
Result<LevelSurvey> read_levels(const std::filesystem::path& store);
// Makes the folders that are missing.
Result<Done> write_levels(const LevelSurvey& survey, const std::filesystem::path& soundfont,
                          const std::filesystem::path& store);

}  // namespace arsis
