#include "tool/versions.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"

namespace arsis {
namespace {

constexpr std::string_view kFlat = "flat";
constexpr std::string_view kShaped = "shaped";

// "flat", "shaped", then the levels.
std::vector<std::string_view> version_names() {
  std::vector<std::string_view> names = {kFlat, kShaped};
  for (const Level level : kEveryLevel) names.push_back(name_of(level));
  return names;
}

Layers layers_named(std::string_view name, Layers layers) {
  if (name == kFlat) layers.amount = 0.0;
  if (name == kFlat || name == kShaped) return layers;
  for (const Level level : kEveryLevel) layers.heard[index_of(level)] = name_of(level) == name;
  return layers;
}

}  // namespace

Result<std::vector<Version>> versions_of(const std::vector<std::string>& words,
                                         const Layers& layers) {
  if (words.empty()) return std::vector<Version>{{"", layers}};
  const std::vector<std::string_view> names = version_names();
  std::vector<Version> versions;
  Diagnostics errors;
  for (const std::string& word : words) {
    const std::string name(trimmed(word));
    if (std::ranges::find(names, name) == names.end()) {
      errors.push_back(error({}, fmt::format("--versions '{}' is no version", printable(word)),
                             "write " + listed(names) + ", joined by commas"));
    } else if (std::ranges::find(versions, name, &Version::name) != versions.end()) {
      errors.push_back(
          error({}, fmt::format("--versions names '{}' twice", name), "write each version once"));
    } else {
      versions.push_back({name, layers_named(name, layers)});
    }
  }
  if (!errors.empty()) return errors;
  return versions;
}

}  // namespace arsis
