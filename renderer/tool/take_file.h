// A take as a file: what was played, and what the file says of itself.
#pragma once

#include <filesystem>
#include <string>

#include "base/diagnostic.h"
#include "take/alignment.h"
#include "take/played.h"
#include "tool/load.h"

namespace arsis {

// What a recording's file is called until it is finished: its name with this after it.
inline constexpr const char* kPartEnding = ".part";

struct TakeFile {
  std::filesystem::path path;
  Take take;
  std::string title;  // what it is a take of, as its sequence name says; may be empty
  std::string date;  // when it was recorded, "2026-11-29 16:50", as the file says; else when it was
                     // last changed
  Seconds length;    // from the first onset to the last end
};

// Reads a MIDI file of any number of tracks as a take; also one that a recording left behind when
// it was cut off (with a warning).
Result<TakeFile> read_take(const std::filesystem::path& path);

struct AlignedTake {
  TakeFile file;
  Alignment alignment;
};

// Reads a take and finds it in the loaded score. Error: it is a take of something else.
Result<AlignedTake> read_take_of(const Loaded& loaded, const std::filesystem::path& path);

}  // namespace arsis
