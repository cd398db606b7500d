// Where the sound comes from: the search for a SoundFont.
#pragma once

#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

struct SoundFontSearch {
  std::string named;                           // on the command line; empty: none
  std::string environment;                     // value of ARSIS_SOUNDFONT; empty: none
  std::vector<std::filesystem::path> folders;  // of our own: the first *.sf2 or *.sf3 by name
  std::filesystem::path cache;  // folder of the built grand-*.sf2: most layers first; empty: none
  std::vector<std::filesystem::path> system;  // files to try last
};

// The usual places of General MIDI SoundFonts on Debian, Ubuntu and their kin, the small one first
// where both are there: it loads quickest.
std::vector<std::filesystem::path> system_soundfonts();

// The first of: the named file, the environment's, those of the folders, of the cache, of the
// system. A file that is named, or in the environment, but missing or no SoundFont, is an error;
// nothing else is taken in its place. Every error here means that no sound can be made (exit code
// 3).
Result<std::filesystem::path> find_soundfont(const SoundFontSearch& search);

// What speaks against the file as a SoundFont, from its first bytes and its size: "is not a
// SoundFont", "is cut short (...)"; empty where nothing does. A font may still be damaged inside.
// Source: SoundFont Technical Specification 2.04, chapter 3 (RIFF form 'sfbk').
std::string soundfont_fault(const std::filesystem::path& path);

}  // namespace arsis
