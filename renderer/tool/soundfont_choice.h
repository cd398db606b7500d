// The SoundFont that a command sounds with.
#pragma once

#include <filesystem>
#include <string>

#include "base/diagnostic.h"

namespace arsis {

// As find_soundfont() looks for it: the one `named` on the command line (empty: none), the
// environment's, one in a folder `soundfonts` here or beside the plan's, a built piano in the
// cache, the system's.
Result<std::filesystem::path> choose_soundfont(const std::string& named,
                                               const std::filesystem::path& plan);

}  // namespace arsis
