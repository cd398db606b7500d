// `levels:`, how loud an instrument sounds at each velocity, as somebody measured it.
#include <fmt/format.h>

#include "base/text.h"
#include "plan/plan_sections.h"

namespace arsis {
namespace {

constexpr int kMostVelocity = 127;
constexpr double kMostLevel = 200.0;  // dB either way: past any instrument and any meter's zero
constexpr int kAnyKey = 60;           // a table of one key holds for all

std::optional<Velocity> read_velocity(const YamlNode::Key& key, PlanText& text) {
  const auto velocity = parse_integer(key.text);
  if (velocity && *velocity >= 1 && *velocity <= kMostVelocity) {
    return Velocity::clamped(static_cast<double>(*velocity));
  }
  const std::string before_colon = key.text.substr(0, key.text.find(':'));
  const bool lacks_blank = before_colon.size() < key.text.size() && parse_integer(before_colon);
  text.refuse(key.place, fmt::format("'{}' is no velocity", printable(key.text)),
              lacks_blank ? fmt::format("write a blank after '{}:'", before_colon)
                          : "write a whole number from 1 to 127");
  return std::nullopt;
}

std::optional<Decibels> read_level(const YamlNode& node, Velocity velocity, PlanText& text) {
  const std::string name = fmt::format("the level of velocity {}", velocity.value());
  ConstantInfo info;
  info.name = name;
  info.unit = "dB";
  info.least = -kMostLevel;
  info.most = kMostLevel;
  const auto level = read_quantity(node, info, text);
  return level ? std::optional(Decibels{*level}) : std::nullopt;
}

// What must hold from one row to the next.
bool follows(const LevelPoint& before, const LevelPoint& row, Place at, PlanText& text) {
  if (row.velocity <= before.velocity) {
    text.refuse(
        at,
        fmt::format("velocity {} comes after {}", row.velocity.value(), before.velocity.value()),
        "write the velocities in rising order");
    return false;
  }
  if (row.level < before.level) {
    text.refuse(
        at,
        fmt::format("velocity {} is softer than {}", row.velocity.value(), before.velocity.value()),
        "levels may not fall where velocities rise");
    return false;
  }
  return true;
}

// None where a row is at fault.
std::optional<std::vector<LevelPoint>> read_rows(const YamlNode& node, PlanText& text) {
  std::vector<LevelPoint> rows;
  bool good = true;
  for (std::size_t i = 0; i < node.keys.size() && !text.full(); ++i) {
    const auto velocity = read_velocity(node.keys[i], text);
    const auto level = velocity ? read_level(node.items[i], *velocity, text) : std::nullopt;
    good = good && level;
    if (!level) continue;
    const LevelPoint row{*velocity, *level};
    if (!rows.empty()) good = follows(rows.back(), row, node.keys[i].place, text) && good;
    rows.push_back(row);
  }
  if (!good || text.full()) return std::nullopt;
  return rows;
}

}  // namespace

SharedLevels read_levels(const YamlNode& node, PlanText& text) {
  if (node.kind != YamlNode::Kind::kMap) {
    text.refuse(node.place, "levels must be a map from velocity to level",
                "write levels: {1: -60 dB, 64: -13 dB, 127: 0 dB}");
    return nullptr;
  }
  auto rows = read_rows(node, text);
  if (!rows) return nullptr;
  if (rows->size() < 2 || rows->back().velocity.value() != kMostVelocity) {
    text.refuse(node.place,
                rows->size() < 2 ? "levels of fewer than two velocities say nothing"
                                 : "levels lack velocity 127, against which all are measured",
                "write two velocities or more, the last one 127");
    return nullptr;
  }
  return std::make_shared<const LevelTable>(LevelTable::of({{kAnyKey, *std::move(rows)}}));
}

}  // namespace arsis
