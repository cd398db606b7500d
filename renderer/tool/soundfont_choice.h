// The SoundFont that a command sounds with.
#pragma once

#include <filesystem>
#include <string>

#include "base/diagnostic.h"

namespace arsis {

// As find_soundfont() looks for it: the one `named` on the command line (empty: none), the
// environment's, one in a folder `soundfonts` here or beside the plan's (empty: none), a built
// piano in the cache, the system's.
Result<std::filesystem::path> choose_soundfont(const std::string& named,
                                               const std::filesystem::path& plan);

// What sounds the instruments that the chosen SoundFont lacks, as a piano alone lacks a choir: the
// system's General MIDI font. Empty where one was asked for by name (on the command line or in the
// environment), which is to sound alone, or where there is none.
std::filesystem::path soundfont_beneath(const std::string& named,
                                        const std::filesystem::path& chosen);

}  // namespace arsis
