// Reads a `shape:` by walking the table of constants: what the table lists is a key, and nothing
// else.
#include <fmt/format.h>

#include <algorithm>

#include "plan/plan_sections.h"

namespace arsis {
namespace {

// Constants that only the whole piece can have: they hold for all of it or make no sense in a part.
bool is_for_the_piece(const ConstantInfo& info) {
  return info.group == "closing" || info.group == "dynamics" || info.group == "balance" ||
         info.group == "unevenness" || info.name == "floor";
}

// A block may shape its own level and those within it.
bool is_within(const ConstantInfo& info, Level level) {
  for (const Level other : kEveryLevel) {
    if (info.group == name_of(other)) return other <= level;
  }
  return level == Level::kPiece || !is_for_the_piece(info);
}

void add_once(std::vector<std::string_view>& words, std::string_view word) {
  if (std::ranges::find(words, word) == words.end()) words.push_back(word);
}

void read_constant(const YamlNode& node, std::size_t index, ShapeOverrides& shape, PlanText& text) {
  if (const auto value = read_quantity(node, constant_table()[index], text)) {
    shape.constants.emplace_back(static_cast<Constant>(index), *value);
  }
}

void read_group(const YamlNode& node, std::string_view group, ShapeOverrides& shape,
                PlanText& text) {
  std::vector<std::string_view> known;
  for (const ConstantInfo& info : constant_table()) {
    if (info.group == group) known.push_back(info.name);
  }
  const MapReader map(node, fmt::format("shape: {}", group), known, text);
  for (std::size_t i = 0; i < kConstants; ++i) {
    if (constant_table()[i].group != group) continue;
    if (const YamlNode* value = map.find(constant_table()[i].name)) {
      read_constant(*value, i, shape, text);
    }
  }
}

}  // namespace

ShapeOverrides read_shape(const YamlNode& node, Level level, PlanText& text) {
  if (node.kind == YamlNode::Kind::kNothing) return {};  // all of it commented out
  std::vector<std::string_view> groups;
  std::vector<std::string_view> known = {"diminuendo"};
  if (level == Level::kPiece) known.push_back("keep");
  for (const ConstantInfo& info : constant_table()) {
    if (!is_within(info, level)) continue;
    add_once(known, info.group.empty() ? info.name : info.group);
    if (!info.group.empty()) add_once(groups, info.group);
  }
  const std::string what = level == Level::kPiece
                               ? std::string("shape")
                               : fmt::format("the shape of a {}", name_of(level));
  const MapReader map(node, what, known, text);
  ShapeOverrides shape;
  for (const std::string_view group : groups) {
    if (const YamlNode* value = map.find(group)) read_group(*value, group, shape, text);
  }
  for (std::size_t i = 0; i < kConstants; ++i) {
    const ConstantInfo& info = constant_table()[i];
    if (!info.group.empty() || !is_within(info, level)) continue;
    if (const YamlNode* value = map.find(info.name)) read_constant(*value, i, shape, text);
  }
  if (const YamlNode* value = map.find("diminuendo")) {
    if (const auto choice = read_choice(*value, "diminuendo", kDiminuendoNames, text)) {
      shape.diminuendo = static_cast<Diminuendo>(*choice);
    }
  }
  if (const YamlNode* value = map.find("keep"); value != nullptr && level == Level::kPiece) {
    if (const auto choice = read_choice(*value, "keep", kKeepNames, text)) {
      shape.keep = static_cast<Keep>(*choice);
    }
  }
  return shape;
}

}  // namespace arsis
