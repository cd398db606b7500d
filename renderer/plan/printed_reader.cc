// What is printed in the score and typed into the plan: parts, dynamics, marks over notes.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "plan/marks.h"
#include "plan/plan_sections.h"

namespace arsis {
namespace {

constexpr std::array<std::string_view, 7> kPartKeys = {"name", "track",   "channel", "hand",
                                                       "role", "balance", "levels"};
constexpr std::array<std::string_view, 6> kDynamicKeys = {"at",      "from", "to",
                                                          "hairpin", "mark", "part"};
constexpr std::array<std::string_view, 5> kMarkKeys = {"at", "from", "to", "mark", "part"};
constexpr std::array<std::string_view, 2> kChangeKeys = {"add", "remove"};
constexpr std::array<std::string_view, 3> kHairpins = {"cresc", "dim", "decresc"};
constexpr int kMostTracks = 65'535;
constexpr std::size_t kMostParts = 256;
constexpr std::size_t kMostDynamics = 20'000;

// The items of a list; refuses what is no list.
std::span<const YamlNode> items_of(const YamlNode& node, std::string_view what, PlanText& text) {
  if (node.kind == YamlNode::Kind::kSequence) return node.items;
  if (node.kind != YamlNode::Kind::kNothing) {
    text.refuse(node.place, fmt::format("{} must be a list", what), "begin each entry with '- '");
  }
  return {};
}

PartPlan read_part(const YamlNode& node, PlanText& text) {
  PartPlan part;
  part.place = node.place;
  const MapReader map(node, "a part", kPartKeys, text);
  if (const YamlNode* name = map.require("name")) {
    part.name = read_text(*name, "name", text).value_or("");
  }
  if (const YamlNode* track = map.find("track")) {
    part.track = read_whole_number(*track, "track", 1, kMostTracks, text);
  }
  if (const YamlNode* channel = map.find("channel")) {
    part.channel = read_whole_number(*channel, "channel", 1, 16, text);
  }
  if (const YamlNode* hand = map.find("hand")) {
    const std::span<const std::string_view> words = std::span(kHandNames).subspan(1);
    if (const auto choice = read_choice(*hand, "hand", words, text)) {
      part.hand = static_cast<Hand>(*choice + 1);
    }
  }
  if (const YamlNode* role = map.require("role")) {
    part.role = static_cast<Role>(read_choice(*role, "role", kRoleNames, text).value_or(0));
  }
  if (const YamlNode* balance = map.find("balance")) {
    const ConstantInfo& range =
        constant_table()[static_cast<std::size_t>(Constant::kMelodyBalance)];
    ConstantInfo info = range;
    info.name = "balance";
    if (const auto level = read_quantity(*balance, info, text)) part.balance = Decibels{*level};
  }
  if (const YamlNode* levels = map.find("levels")) part.levels = read_levels(*levels, text);
  return part;
}

// Where an entry stands: `at`, or `from` and `to`.
template <class Entry>
void read_extent(const MapReader& map, Entry& entry, PlanText& text) {
  const YamlNode* at = map.find("at");
  const YamlNode* from = map.find("from");
  const YamlNode* to = map.find("to");
  if (at != nullptr && (from != nullptr || to != nullptr)) {
    text.refuse(at->place, "'at' goes with neither 'from' nor 'to'",
                "write at: for one place, from: and to: for a stretch");
  } else if (at == nullptr && (from == nullptr || to == nullptr)) {
    if (map.is_map()) {
      text.refuse(map.place(), "it is not said where this stands", "write at:, or from: and to:");
    }
  }
  if (const YamlNode* begin = at != nullptr ? at : from) {
    if (const auto position = read_position(*begin, at != nullptr ? "at" : "from", text)) {
      entry.from = *position;
    }
  }
  if (to != nullptr) entry.to = read_position(*to, "to", text);
}

// The index of a word of one list; a word of the other list is sent there.
std::optional<std::size_t> read_printed_word(const YamlNode& node,
                                             std::span<const std::string_view> words,
                                             std::span<const std::string_view> other_words,
                                             std::string_view other_list, PlanText& text) {
  const bool is_other = node.kind == YamlNode::Kind::kText &&
                        std::ranges::find(other_words, node.text) != other_words.end();
  if (!is_other) return read_choice(node, "mark", words, text);
  text.refuse(node.place, fmt::format("'{}' stands in the wrong list", node.text),
              fmt::format("write it under '{}:'", other_list));
  return std::nullopt;
}

bool stands_at_one_place(Mark mark) {
  return mark == Mark::kFermata || mark == Mark::kBreath || mark == Mark::kFortePiano;
}

std::string read_part_name(const MapReader& map, PlanText& text) {
  const YamlNode* part = map.find("part");
  return part == nullptr ? "" : read_text(*part, "part", text).value_or("");
}

// Steps from mf of the key `mark`.
std::optional<int> read_step(const YamlNode& mark, PlanText& text) {
  const auto index = read_printed_word(mark, dynamic_names(), mark_names(), "marks", text);
  return index ? dynamic_step(dynamic_names()[*index]) : std::nullopt;
}

std::optional<Mark> read_mark_word(const YamlNode& word, PlanText& text) {
  const auto index = read_printed_word(word, mark_names(), dynamic_names(), "dynamics", text);
  return index ? mark_named(mark_names()[*index]) : std::nullopt;
}

// Whether the hairpin grows.
bool read_hairpin(const YamlNode& hairpin, PlanText& text) {
  return read_choice(hairpin, "hairpin", kHairpins, text).value_or(0) == 0;
}

DynamicPlan read_dynamic(const YamlNode& node, PlanText& text) {
  DynamicPlan dynamic;
  dynamic.place = node.place;
  const MapReader map(node, "a dynamic", kDynamicKeys, text);
  read_extent(map, dynamic, text);
  const YamlNode* hairpin = map.find("hairpin");
  const YamlNode* mark = map.find("mark");
  const bool stretch = map.find("to") != nullptr && map.find("at") == nullptr;
  if (hairpin != nullptr) {
    dynamic.rises = read_hairpin(*hairpin, text);
    if (map.find("at") != nullptr && map.find("to") == nullptr) {
      text.refuse(hairpin->place, "a hairpin has a beginning and an end", "write from: and to:");
    }
  } else if (stretch) {
    text.refuse(node.place, "a dynamic from here to there is a hairpin",
                "add hairpin: cresc or dim, or write at:");
  } else if (mark == nullptr && map.is_map()) {
    text.refuse(node.place, "a dynamic lacks 'mark'", "add 'mark:'");
  }
  if (mark != nullptr) dynamic.step = read_step(*mark, text);
  dynamic.part = read_part_name(map, text);
  return dynamic;
}

MarkPlan read_mark(const YamlNode& node, PlanText& text) {
  MarkPlan mark;
  mark.place = node.place;
  const MapReader map(node, "a mark", kMarkKeys, text);
  read_extent(map, mark, text);
  if (const YamlNode* word = map.require("mark")) {
    const std::optional<Mark> read = read_mark_word(*word, text);
    mark.mark = read.value_or(mark.mark);
    if (read && mark.to && stands_at_one_place(mark.mark)) {
      text.refuse(map.find("to")->place,
                  fmt::format("{} {} stands at one place",
                              mark.mark == Mark::kFortePiano ? "an" : "a", word->text),
                  "write at:");
    }
  }
  mark.part = read_part_name(map, text);
  return mark;
}

// What every entry of a `remove` has.
RemovePlan read_removed(const MapReader& map, const YamlNode& node, PlanText& text) {
  RemovePlan removed;
  removed.place = node.place;
  read_extent(map, removed, text);
  removed.part = read_part_name(map, text);
  return removed;
}

RemovePlan read_removed_dynamic(const YamlNode& node, PlanText& text) {
  const MapReader map(node, "what is removed", kDynamicKeys, text);
  RemovePlan removed = read_removed(map, node, text);
  if (const YamlNode* hairpin = map.find("hairpin")) removed.rises = read_hairpin(*hairpin, text);
  if (const YamlNode* mark = map.find("mark")) removed.step = read_step(*mark, text);
  return removed;
}

RemovePlan read_removed_mark(const YamlNode& node, PlanText& text) {
  const MapReader map(node, "what is removed", kMarkKeys, text);
  RemovePlan removed = read_removed(map, node, text);
  if (const YamlNode* word = map.find("mark")) removed.mark = read_mark_word(*word, text);
  return removed;
}

// Whether a map is a single entry that somebody forgot to make a list of.
bool is_an_entry(const YamlNode& node) {
  return std::ranges::any_of(node.keys, [](const YamlNode::Key& key) {
    return std::ranges::find(kDynamicKeys, key.text) != kDynamicKeys.end();
  });
}

// The list of the plan's own entries under `key`, or null; what the page's come to goes to
// `changes`.
template <class ReadRemoved>
const YamlNode* list_of(const YamlNode& node, std::string_view key, PageChanges& changes,
                        ReadRemoved read_removed, PlanText& text) {
  if (node.kind != YamlNode::Kind::kMap || is_an_entry(node)) {
    changes.all_replaced = node.kind != YamlNode::Kind::kNothing;
    return &node;
  }
  const MapReader map(node, fmt::format("'{}:'", key), kChangeKeys, text);
  if (const YamlNode* removed = map.find("remove")) {
    for (const YamlNode& item : items_of(*removed, "remove", text)) {
      changes.removed.push_back(read_removed(item, text));
    }
  }
  return map.find("add");
}

}  // namespace

std::vector<PartPlan> read_parts(const YamlNode& node, PlanText& text) {
  std::vector<PartPlan> parts;
  for (const YamlNode& item : items_of(node, "parts", text)) {
    PartPlan part = read_part(item, text);
    for (const PartPlan& other : parts) {
      if (!part.name.empty() && part.name == other.name) {
        text.refuse(part.place, fmt::format("two parts are named '{}'", printable(part.name)),
                    "give each its own name");
      }
    }
    parts.push_back(std::move(part));
    if (parts.size() > kMostParts) {
      text.refuse(item.place, "too many parts", fmt::format("at most {} are read", kMostParts));
      break;
    }
  }
  return parts;
}

void read_dynamics(const YamlNode& node, Plan& plan, PlanText& text) {
  if (const YamlNode* list =
          list_of(node, "dynamics", plan.page_dynamics, read_removed_dynamic, text)) {
    for (const YamlNode& item : items_of(*list, "dynamics", text)) {
      plan.dynamics.push_back(read_dynamic(item, text));
      if (plan.dynamics.size() > kMostDynamics) {
        text.refuse(item.place, "too many dynamics",
                    fmt::format("at most {} are read", kMostDynamics));
        break;
      }
    }
  }
}

void read_marks(const YamlNode& node, Plan& plan, PlanText& text) {
  if (const YamlNode* list = list_of(node, "marks", plan.page_marks, read_removed_mark, text)) {
    for (const YamlNode& item : items_of(*list, "marks", text)) {
      plan.marks.push_back(read_mark(item, text));
    }
  }
}

}  // namespace arsis
