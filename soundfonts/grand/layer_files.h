// The sample files of a piano, found by their names: a folder for each layer, a file for each key.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

// MIDI key number of a file's name that begins with a note: "C4", "D#1v8.ogg", "Bb3-soft.wav" (C4
// is 60). None where it does not, or beyond 0 to 127.
std::optional<int> key_of_note(std::string_view name);

// The same of a release noise: "rel1.ogg" is the lowest key of a piano, 21, "rel88.ogg" the
// highest.
std::optional<int> key_of_release(std::string_view name);

using KeyFiles = std::map<int, std::filesystem::path>;

inline constexpr std::size_t kMostLayers = 32;

// The files of a folder by their keys; files that are no sound (.ogg .flac .wav) are passed over.
// Errors: no folder, none in it, a name without a key, two files of one key, keys outside the piano
// (21 to 108).
Result<KeyFiles> key_files(const std::filesystem::path& folder,
                           std::optional<int> (*key_of)(std::string_view));

// Of each layer's folder, the softest first. Errors: as above, of all folders; no layer or more
// than kMostLayers; layers that hold not the same keys.
Result<std::vector<KeyFiles>> layer_files(const std::vector<std::filesystem::path>& folders);

}  // namespace arsis
