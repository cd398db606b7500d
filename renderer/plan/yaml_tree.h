// A YAML text as a plain tree with places, bounded and strict. Everything that a plan has no use
// for and that could hide a mistake is refused: anchors and aliases, tags, a key twice in one map,
// a second document, maps as keys, great depth, bytes that are not UTF-8.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "plan/plan.h"

namespace arsis {

struct YamlNode {
  enum class Kind : std::uint8_t { kNothing, kText, kSequence, kMap };
  struct Key {
    std::string text;
    Place place;
  };

  Kind kind = Kind::kNothing;
  Place place;                  // of a value left out: its key's
  std::string text;             // of a text
  std::vector<Key> keys;        // of a map, in order, no two alike
  std::vector<YamlNode> items;  // of a sequence; of a map, the value of each key
};

// Limits: a plan for a score of a hundred thousand bars stays within them.
inline constexpr std::size_t kMostYamlBytes = 4 << 20;
inline constexpr std::size_t kMostYamlNodes = 500'000;
inline constexpr int kDeepestYaml = 16;

// The tree of the text's one document; kNothing for a text of comments only. All duplicate keys,
// tags and anchors are reported; a text that is not YAML at the first place where it fails.
Result<YamlNode> read_yaml(std::string_view text, const std::string& file);

}  // namespace arsis
