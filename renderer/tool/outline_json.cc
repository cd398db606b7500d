// The JSON that `check --json` prints.
#include <nlohmann/json.hpp>

#include "base/text.h"
#include "shape/summary.h"
#include "tool/in_force.h"
#include "tool/outline.h"
#include "tool/report.h"

namespace arsis {
namespace {

using Json = nlohmann::ordered_json;

constexpr int kOutlineVersion = 1;

Json moment_json(const Loaded& loaded, const Shaped& shaped, Beats at) {
  return {{"position", to_string(loaded.score.bars.position_of(at))},
          {"beat", at.value},
          {"second", shaped.performance.time.seconds_at(at).value}};
}

std::string_view member_key(Level level) {
  return level == Level::kSentence ? "phrases" : "motifs";
}

Json block_json(const Loaded& loaded, const Shaped& shaped, Level level, std::size_t index) {
  const Block& block = loaded.bound.level(level)[index];
  Json json = {{"name", block_name(loaded.bound, level, index)},
               {"main", block.is_main},
               {"from", moment_json(loaded, shaped, block.span.begin)},
               {"to", moment_json(loaded, shaped, block.span.end)},
               {"goal", moment_json(loaded, shaped, block.goal)}};
  if (const auto goal = goal_level(loaded.score, loaded.bound, shaped, block)) {
    json["goal"]["ceiling_db"] = goal->ceiling.value;
    json["goal"]["level_db"] = goal->level.value;
  }
  if (level == Level::kMotif) return json;
  const Level within = level == Level::kSentence ? Level::kPhrase : Level::kMotif;
  Json members = Json::array();
  for (std::uint32_t i = 0; i < block.count; ++i) {
    members.push_back(block_json(loaded, shaped, within, block.first + i));
  }
  json[std::string(member_key(level))] = std::move(members);
  return json;
}

// The rows that the plan has for the part's instrument, or null.
Json levels_json(const SharedLevels& levels) {
  if (levels == nullptr) return nullptr;
  Json rows = Json::array();
  for (const LevelPoint& point : levels->keys().front().points) {
    rows.push_back({{"velocity", point.velocity.value()}, {"level_db", point.level.value}});
  }
  return rows;
}

Json parts_json(const Loaded& loaded) {
  Json parts = Json::array();
  for (std::size_t i = 0; i < loaded.bound.parts.size(); ++i) {
    const BoundPart& part = loaded.bound.parts[i];
    parts.push_back({{"name", printable(part.name, kLongestText)},
                     {"track", loaded.score.parts[i].number},
                     {"channel", loaded.score.parts[i].channel + 1},
                     {"role", kRoleNames[static_cast<std::size_t>(part.role)]},
                     {"balance_db", part.balance.value},
                     {"levels", levels_json(part.levels)}});
  }
  return parts;
}

Json where_json(const Where& where) {
  return {{"file", printable(where.file, kLongestText)},
          {"line", where.line},
          {"column", where.column}};
}

Json in_force_json(const Loaded& loaded, const std::vector<InForce>& entries) {
  const auto position = [&](Beats at) { return to_string(loaded.score.bars.position_of(at)); };
  Json list = Json::array();
  for (const InForce& entry : entries) {
    Json json = {{"position", position(entry.at)}, {"beat", entry.at.value}};
    if (entry.to) json["to"] = position(*entry.to);
    json["text"] = entry.text;
    json["part"] = entry.part.empty() ? Json(nullptr) : Json(printable(entry.part, kLongestText));
    json["source"] = where_json(entry.source);
    if (entry.instead_of) json["instead_of"] = where_json(*entry.instead_of);
    list.push_back(std::move(json));
  }
  return list;
}

Json diagnostics_json(const Diagnostics& diagnostics) {
  Json list = Json::array();
  for (const Diagnostic& diagnostic : diagnostics) {
    const Where& where = diagnostic.where;
    Json json = {{"severity", diagnostic.severity == Severity::kError ? "error" : "warning"},
                 {"file", printable(where.file, kLongestText)}};
    if (where.line > 0) json.update({{"line", where.line}, {"column", where.column}});
    if (!where.part.empty()) json["part"] = where.part;
    json["problem"] = printable(diagnostic.problem, kLongestText);
    json["remedy"] = printable(diagnostic.remedy, kLongestText);
    list.push_back(std::move(json));
  }
  return list;
}

}  // namespace

std::string outline_json(const Loaded* loaded, const Shaped* shaped,
                         const Diagnostics& diagnostics) {
  Json json = {{"arsis", kOutlineVersion}, {"readable", loaded != nullptr}};
  if (loaded != nullptr) {
    json["title"] = printable(loaded->plan.title, kLongestText);
    json["score"] = printable(loaded->score.file, kLongestText);
    json["parts"] = parts_json(*loaded);
    json["main"] = loaded->plan.main ? Json(*loaded->plan.main + 1) : Json(nullptr);
    Json sentences = Json::array();
    for (std::size_t i = 0; i < loaded->bound.sentences.size(); ++i) {
      sentences.push_back(block_json(*loaded, *shaped, Level::kSentence, i));
    }
    json["sentences"] = std::move(sentences);
    json["dynamics"] = in_force_json(*loaded, dynamics_in_force(*loaded));
    json["marks"] = in_force_json(*loaded, marks_in_force(*loaded));
  }
  json["diagnostics"] = diagnostics_json(diagnostics);
  return json.dump(2) + "\n";
}

}  // namespace arsis
