#include "layer_files.h"

#include <fmt/format.h>

#include "base/text.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr int kLowestKey = 21;
constexpr int kHighestKey = 108;

bool is_sound(const fs::path& path) {
  const std::string ending = lower_case(path.extension().string());
  return ending == ".ogg" || ending == ".flac" || ending == ".wav";
}

std::string_view leading_digits(std::string_view text) {
  return text.substr(0, std::min(text.find_first_not_of("0123456789"), text.size()));
}

void add_file(KeyFiles& files, const fs::path& path, std::optional<int> key, Diagnostics& errors) {
  const Where where{.file = path.string()};
  if (!key) {
    errors.push_back(error(where, "the name says no key", "begin it like 'C4' or 'D#1'"));
  } else if (*key < kLowestKey || *key > kHighestKey) {
    errors.push_back(error(where, fmt::format("key {} is none of a piano", *key),
                           "A0 (21) to C8 (108) are taken"));
  } else if (!files.emplace(*key, path).second) {
    errors.push_back(error(where, fmt::format("key {} has two files", *key),
                           fmt::format("take this one or {} away", files.at(*key).string())));
  }
}

void compare_keys(const KeyFiles& first, const KeyFiles& other, const fs::path& folder,
                  Diagnostics& errors) {
  for (const auto& [key, file] : first) {
    if (other.contains(key)) continue;
    errors.push_back(error({.file = folder.string()},
                           fmt::format("key {} is missing ({})", key, file.filename().string()),
                           "every layer needs the same keys"));
  }
  for (const auto& [key, file] : other) {
    if (first.contains(key)) continue;
    errors.push_back(error({.file = file.string()},
                           fmt::format("key {} is in this layer and not in the first", key),
                           "every layer needs the same keys"));
  }
}

}  // namespace

std::optional<int> key_of_note(std::string_view name) {
  constexpr std::string_view kLetters = "C D EF G A B";  // each at its place in the octave
  const std::size_t step = name.empty() || name[0] == ' ' ? name.npos : kLetters.find(name[0]);
  if (step == name.npos) return std::nullopt;
  name.remove_prefix(1);
  int change = 0;
  if (!name.empty() && (name[0] == '#' || name[0] == 'b')) {
    change = name[0] == '#' ? 1 : -1;
    name.remove_prefix(1);
  }
  const auto octave = parse_integer(leading_digits(name));
  if (!octave || *octave > 10) return std::nullopt;
  const int key = 12 * (static_cast<int>(*octave) + 1) + static_cast<int>(step) + change;
  return key > 127 ? std::nullopt : std::optional(key);
}

std::optional<int> key_of_release(std::string_view name) {
  if (!name.starts_with("rel")) return std::nullopt;
  const auto number = parse_integer(leading_digits(name.substr(3)));
  if (!number || *number < 1 || *number > 107) return std::nullopt;
  return 20 + static_cast<int>(*number);
}

Result<KeyFiles> key_files(const fs::path& folder, std::optional<int> (*key_of)(std::string_view)) {
  KeyFiles files;
  Diagnostics errors;
  std::error_code failure;
  for (fs::directory_iterator at(folder, failure), end; !failure && at != end;
       at.increment(failure)) {
    const fs::path& path = at->path();
    if (is_sound(path)) add_file(files, path, key_of(path.filename().string()), errors);
  }
  if (failure) {
    return fail({.file = folder.string()}, fmt::format("cannot be read ({})", failure.message()),
                "name a folder of sample files");
  }
  if (files.empty() && errors.empty()) {
    return fail({.file = folder.string()}, "holds no sample files",
                ".ogg, .flac and .wav are taken");
  }
  if (!errors.empty()) return errors;
  return files;
}

Result<std::vector<KeyFiles>> layer_files(const std::vector<fs::path>& folders) {
  if (folders.empty() || folders.size() > kMostLayers) {
    return fail({}, fmt::format("{} layers cannot be built", folders.size()),
                fmt::format("name 1 to {} folders", kMostLayers));
  }
  std::vector<KeyFiles> layers;
  Diagnostics errors;
  for (const fs::path& folder : folders) {
    const Result<KeyFiles> files = key_files(folder, key_of_note);
    errors.insert(errors.end(), files.diagnostics().begin(), files.diagnostics().end());
    if (!files) continue;
    if (!layers.empty()) compare_keys(layers.front(), *files, folder, errors);
    layers.push_back(*files);
  }
  if (has_errors(errors)) return errors;
  return layers;
}

}  // namespace arsis
