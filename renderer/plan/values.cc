#include "plan/values.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"

namespace arsis {
namespace {

std::string quoted(const YamlNode& node) {
  if (node.kind == YamlNode::Kind::kText) return fmt::format("'{}'", printable(node.text));
  if (node.kind == YamlNode::Kind::kSequence) return "a list";
  return node.kind == YamlNode::Kind::kMap ? "a map" : "nothing";
}

// "2 bar" and "2 bars", "1 beat" and "2 beats" alike.
bool is_unit(std::string_view word, std::string_view unit) {
  return word == unit || (unit.size() > 2 && word.size() == unit.size() + 1 &&
                          word.starts_with(unit) && word.ends_with('s'));
}

std::string with_unit(double number, std::string_view unit) {
  return unit.empty() ? short_number(number) : fmt::format("{} {}", short_number(number), unit);
}

// The number in `unit`, or none where the written unit is another.
std::optional<double> in_unit(const NumberWithUnit& written, std::string_view unit) {
  if (is_unit(written.unit, unit)) return written.number;
  if (unit == "ms" && written.unit == "s") return written.number * 1e3;
  return std::nullopt;
}

// What to write instead of an unknown key. "at:9:3" without a blank is one word to YAML.
std::string remedy_for(std::string_view key, std::span<const std::string_view> known) {
  const std::string_view before_colon = key.substr(0, key.find(':'));
  if (before_colon.size() < key.size() && std::ranges::find(known, before_colon) != known.end()) {
    return fmt::format("write a blank after '{}:'", before_colon);
  }
  if (const auto nearest = nearest_word(key, known)) {
    return fmt::format("did you mean '{}'?", *nearest);
  }
  return fmt::format("its keys are {}", listed(known));
}

constexpr double kMostBeatsOfBar = 100'000.0;  // far past any bar; keeps the arithmetic tame

}  // namespace

void PlanText::refuse(Place place, std::string problem, std::string remedy) {
  if (errors++ >= kMostErrors) return;
  diagnostics.push_back(
      error({file, place.line, place.column, {}}, std::move(problem), std::move(remedy)));
}

void PlanText::doubt(Place place, std::string problem, std::string remedy) {
  doubt(Where{file, place.line, place.column, {}}, std::move(problem), std::move(remedy));
}

void PlanText::doubt(Where where, std::string problem, std::string remedy) {
  if (doubts++ >= kMostDoubts) return;
  diagnostics.push_back(warning(std::move(where), std::move(problem), std::move(remedy)));
}

MapReader::MapReader(const YamlNode& node, std::string_view what,
                     std::span<const std::string_view> known, PlanText& text)
    : node_(node), what_(what), text_(text) {
  if (node.kind != YamlNode::Kind::kMap) {
    text.refuse(node.place, fmt::format("{} cannot be {}", what, quoted(node)),
                fmt::format("write a map with {}", listed(known)));
    return;
  }
  for (const YamlNode::Key& key : node.keys) {
    if (std::ranges::find(known, key.text) != known.end()) continue;
    if (text.full()) return;
    text.refuse(key.place, fmt::format("{} has no key '{}'", what, printable(key.text)),
                remedy_for(key.text, known));
  }
}

const YamlNode* MapReader::find(std::string_view key) const {
  if (!is_map()) return nullptr;
  const auto found = std::ranges::find(node_.keys, key, &YamlNode::Key::text);
  if (found == node_.keys.end()) return nullptr;
  return &node_.items[static_cast<std::size_t>(found - node_.keys.begin())];
}

const YamlNode* MapReader::require(std::string_view key) const {
  const YamlNode* node = find(key);
  if (node == nullptr && is_map()) {
    text_.refuse(node_.place, fmt::format("{} lacks '{}'", what_, key),
                 fmt::format("add '{}:'", key));
  }
  return node;
}

std::optional<std::string> read_text(const YamlNode& node, std::string_view what, PlanText& text) {
  constexpr std::size_t kLongestText = 1000;  // bytes
  if (node.text.size() > kLongestText) {
    text.refuse(node.place, fmt::format("{} is too long", what),
                fmt::format("write at most {} bytes", kLongestText));
    return std::nullopt;
  }
  if (node.kind == YamlNode::Kind::kText && !node.text.empty() &&
      printable(node.text, node.text.size()) == node.text) {
    return node.text;
  }
  text.refuse(node.place, fmt::format("{} cannot be {}", what, quoted(node)),
              "write text on one line");
  return std::nullopt;
}

std::optional<int> read_whole_number(const YamlNode& node, std::string_view what, int least,
                                     int most, PlanText& text) {
  const std::optional<std::int64_t> number =
      node.kind == YamlNode::Kind::kText ? parse_integer(node.text) : std::nullopt;
  if (number && least <= *number && *number <= most) return static_cast<int>(*number);
  text.refuse(node.place, fmt::format("{} cannot be {}", what, quoted(node)),
              least == most ? fmt::format("write {}", least)
                            : fmt::format("write a whole number from {} to {}", least, most));
  return std::nullopt;
}

std::optional<bool> read_yes_no(const YamlNode& node, std::string_view what, PlanText& text) {
  if (node.kind == YamlNode::Kind::kText) {
    if (node.text == "true" || node.text == "yes") return true;
    if (node.text == "false" || node.text == "no") return false;
  }
  text.refuse(node.place, fmt::format("{} cannot be {}", what, quoted(node)),
              "write true or false");
  return std::nullopt;
}

std::optional<std::size_t> read_choice(const YamlNode& node, std::string_view what,
                                       std::span<const std::string_view> words, PlanText& text) {
  if (node.kind == YamlNode::Kind::kText) {
    const auto found = std::ranges::find(words, node.text);
    if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
    if (const auto nearest = nearest_word(node.text, words)) {
      text.refuse(node.place, fmt::format("{} cannot be {}", what, quoted(node)),
                  fmt::format("did you mean '{}'?", *nearest));
      return std::nullopt;
    }
  }
  text.refuse(node.place, fmt::format("{} cannot be {}", what, quoted(node)),
              fmt::format("write {}", listed(words)));
  return std::nullopt;
}

namespace {

constexpr int kMostPasses = 1'000;

// "2nd" -> 2; 0 for anything else.
int pass_of(std::string_view text) {
  if (text.size() < 3) return 0;
  const std::string_view letters = text.substr(text.size() - 2);
  if (letters != "st" && letters != "nd" && letters != "rd" && letters != "th") return 0;
  const auto number = parse_integer(text.substr(0, text.size() - 2));
  return number && *number >= 1 && *number <= kMostPasses ? static_cast<int>(*number) : 0;
}

}  // namespace

std::optional<Position> parse_position(std::string_view written) {
  int pass = 1;
  if (const std::size_t slash = written.rfind('/'); slash != std::string_view::npos) {
    if (const int found = pass_of(written.substr(slash + 1)); found > 0) {
      pass = found;
      written = written.substr(0, slash);
    }
  }
  const std::size_t colon = written.find(':');
  if (colon == std::string_view::npos) return std::nullopt;
  const std::optional<std::int64_t> bar = parse_integer(written.substr(0, colon));
  const std::string_view beat = written.substr(colon + 1);
  const std::size_t plus = beat.find('+');
  const std::optional<double> whole = parse_number(beat.substr(0, plus));
  const std::optional<double> rest =
      plus == std::string_view::npos ? 0.0 : parse_number(beat.substr(plus + 1));
  if (!bar || !whole || !rest || *bar < 0 || *bar > Bars::kMostBars) return std::nullopt;
  if (*whole < 1.0 || *rest < 0.0 || *whole + *rest > kMostBeatsOfBar) return std::nullopt;
  return Position{static_cast<int>(*bar), *whole + *rest, pass};
}

std::optional<WrittenPosition> read_position(const YamlNode& node, std::string_view what,
                                             PlanText& text) {
  if (node.kind == YamlNode::Kind::kText) {
    if (const auto position = parse_position(node.text))
      return WrittenPosition{*position, node.place};
  }
  text.refuse(node.place, fmt::format("{} cannot be {}", what, quoted(node)),
              "write bar:beat, such as 9:3, 9:3.5 or 9:3+1/3");
  return std::nullopt;
}

std::optional<WrittenLength> parse_length(std::string_view text) {
  constexpr double kShortest = 0.001;  // bars or beats; below the ticks of common MIDI files
  constexpr double kLongest = 1000.0;
  const auto written = parse_number_with_unit(text);
  const bool bars = written && is_unit(written->unit, "bar");
  const bool beats = written && is_unit(written->unit, "beat");
  if ((!bars && !beats) || written->number < kShortest || written->number > kLongest) {
    return std::nullopt;
  }
  using enum WrittenLength::Unit;
  return WrittenLength{written->number, bars ? kBar : kBeat, {}};
}

std::optional<WrittenLength> read_length(const YamlNode& node, std::string_view what,
                                         PlanText& text) {
  if (node.kind == YamlNode::Kind::kText) {
    if (auto length = parse_length(node.text)) {
      length->place = node.place;
      return length;
    }
  }
  text.refuse(node.place, fmt::format("{} cannot be {}", what, quoted(node)),
              "write a length in bars or beats, such as 1 bar or 1/2 beat");
  return std::nullopt;
}

std::optional<double> read_quantity(const YamlNode& node, const ConstantInfo& info,
                                    PlanText& text) {
  const std::string range = fmt::format("write {} to {}", with_unit(info.least, info.unit),
                                        with_unit(info.most, info.unit));
  const auto written =
      node.kind == YamlNode::Kind::kText ? parse_number_with_unit(node.text) : std::nullopt;
  if (written && written->unit.empty() && !info.unit.empty()) {
    text.refuse(node.place, fmt::format("{} {} lacks a unit", info.name, quoted(node)),
                fmt::format("{}, with the unit", range));
    return std::nullopt;
  }
  const std::optional<double> number = written ? in_unit(*written, info.unit) : std::nullopt;
  if (number && info.least <= *number && *number <= info.most) return number;
  text.refuse(node.place, fmt::format("{} cannot be {}", info.name, quoted(node)), range);
  return std::nullopt;
}

}  // namespace arsis
