#include "plan/plan_reader.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/files.h"
#include "plan/plan_sections.h"

namespace arsis {
namespace {

constexpr std::array<std::string_view, 12> kPlanKeys = {"arsis", "title",     "score",    "pickup",
                                                        "parts", "levels",    "dynamics", "marks",
                                                        "motif", "sentences", "main",     "shape"};
constexpr std::array<std::string_view, 2> kCellKeys = {"length", "from"};

void read_cell(const YamlNode& node, Plan& plan, PlanText& text) {
  const MapReader map(node, "the motif cell", kCellKeys, text);
  if (const YamlNode* length = map.require("length")) {
    plan.cell = read_length(*length, "length", text);
  }
  if (const YamlNode* from = map.require("from")) {
    plan.cell_from = read_position(*from, "from", text);
  }
}

// What the plan says of itself and its score.
void read_head(const MapReader& map, Plan& plan, PlanText& text) {
  if (const YamlNode* version = map.require("arsis")) {
    read_whole_number(*version, "the format's version", 1, 1, text);
  }
  if (const YamlNode* title = map.find("title")) {
    plan.title = read_text(*title, "title", text).value_or("");
  }
  if (const YamlNode* score = map.require("score")) {
    plan.score = read_text(*score, "score", text).value_or("");
    plan.score_place = score->place;
  }
  if (const YamlNode* pickup = map.find("pickup")) {
    plan.pickup = read_length(*pickup, "pickup", text);
  }
  if (const YamlNode* parts = map.find("parts")) plan.parts = read_parts(*parts, text);
  if (const YamlNode* levels = map.find("levels")) plan.levels = read_levels(*levels, text);
}

void read_structure(const MapReader& map, Plan& plan, PlanText& text) {
  plan.sentences_place = map.place();
  if (const YamlNode* cell = map.find("motif")) read_cell(*cell, plan, text);
  if (const YamlNode* sentences = map.require("sentences")) {
    plan.sentences_place = sentences->place;
    plan.sentences = read_sentences(*sentences, text);
  }
  if (const YamlNode* main = map.find("main"); main != nullptr && !plan.sentences.empty()) {
    const int most = static_cast<int>(plan.sentences.size());
    plan.main_place = main->place;
    if (const auto number = read_whole_number(*main, "main", 1, most, text)) {
      plan.main = static_cast<std::size_t>(*number - 1);
    }
  }
}

}  // namespace

Tuning overridden(Tuning tuning, const ShapeOverrides& overrides) {
  for (const auto& [constant, value] : overrides.constants) tuning.set(constant, value);
  if (overrides.diminuendo) tuning.diminuendo = *overrides.diminuendo;
  if (overrides.keep) tuning.keep = *overrides.keep;
  return tuning;
}

Result<Plan> parse_plan(std::string_view text, const std::string& file) {
  Result<YamlNode> tree = read_yaml(text, file);
  if (!tree) return tree.diagnostics();
  PlanText messages{file, {}};
  if (tree->kind == YamlNode::Kind::kNothing) {
    return fail({.file = file}, "is empty", "a plan begins with 'arsis: 1'");
  }
  Plan plan;
  plan.file = file;
  const MapReader map(*tree, "a plan", kPlanKeys, messages);
  if (map.is_map()) {
    read_head(map, plan, messages);
    if (const YamlNode* node = map.find("dynamics")) read_dynamics(*node, plan, messages);
    if (const YamlNode* node = map.find("marks")) read_marks(*node, plan, messages);
    read_structure(map, plan, messages);
    if (const YamlNode* node = map.find("shape")) {
      plan.shape = read_shape(*node, Level::kPiece, messages);
    }
  }
  std::ranges::stable_sort(messages.diagnostics, {}, [](const Diagnostic& diagnostic) {
    return std::pair(diagnostic.where.line, diagnostic.where.column);
  });
  if (has_errors(messages.diagnostics)) return messages.diagnostics;
  return {std::move(plan), std::move(messages.diagnostics)};
}

Result<Plan> read_plan(const std::filesystem::path& path) {
  Result<Bytes> bytes = read_file(path, kMostYamlBytes);
  if (!bytes) return bytes.diagnostics();
  return parse_plan({reinterpret_cast<const char*>(bytes->data()), bytes->size()}, path.string());
}

std::filesystem::path score_path(const Plan& plan) {
  return (std::filesystem::path(plan.file).parent_path() / plan.score).lexically_normal();
}

}  // namespace arsis
