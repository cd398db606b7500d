#include "plan/plan_writer.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

#include "base/text.h"
#include "plan/marks.h"
#include "plan/values.h"

namespace arsis {
namespace {

constexpr std::size_t kLongestRemark = 2000;  // bytes

// Enough digits to be read back as the same number, and no exponent.
std::string exact_number(double number) {
  std::string text = fmt::format("{}", number);
  if (text.find('e') != std::string::npos) text = fmt::format("{:.20f}", number);
  return text;
}

// "1", "1/2", "2/3", else decimals.
std::string ratio_text(double number) {
  for (const int below : {1, 2, 3, 4, 6, 8, 12, 16}) {
    const double above = std::round(number * below);
    if (above < 1e6 && above / below == number) {
      return below == 1 ? fmt::format("{}", above) : fmt::format("{}/{}", above, below);
    }
  }
  return exact_number(number);
}

std::string text_of(WrittenLength length) {
  const bool bars = length.unit == WrittenLength::Unit::kBar;
  return fmt::format("{} {}{}", ratio_text(length.number), bars ? "bar" : "beat",
                     length.number > 1.0 ? "s" : "");
}

std::string text_of(const WrittenPosition& written) {
  constexpr double kSame = 1e-9;  // of a beat
  const Position position = written.position;
  std::string text = to_string(position);
  const auto read = parse_position(text);
  if (read && read->bar == position.bar && read->pass == position.pass &&
      std::abs(read->beat - position.beat) < kSame) {
    return text;
  }
  // As `text`, but for the beat, which has too few digits there.
  const std::size_t pass = position.pass > 1 ? text.rfind('/') : text.size();
  const std::string beat = exact_number(std::max(position.beat, 1.0));
  return fmt::format("{}:{}", position.bar, beat) + text.substr(pass);
}

std::string decibels_text(Decibels level) { return exact_number(level.value) + " dB"; }

// "{a: 1, b: 2}" of entries that are there.
class FlowMap {
 public:
  void add(std::string_view key, const std::string& value) {
    text_ += fmt::format("{}{}: {}", text_.empty() ? "" : ", ", key, value);
  }
  std::string text() const { return "{" + text_ + "}"; }

 private:
  std::string text_;
};

std::string levels_text(const LevelTable& levels) {
  FlowMap map;
  for (const LevelPoint& point : levels.keys().front().points) {
    map.add(fmt::format("{}", point.velocity.value()), decibels_text(point.level));
  }
  return map.text();
}

std::string shape_text(const ShapeOverrides& shape) {
  FlowMap map;
  auto constants = shape.constants;
  std::ranges::sort(constants);  // in the order of the table
  std::vector<std::string_view> groups;
  for (const auto& [constant, value] : constants) {
    const std::string_view group = constant_table()[static_cast<std::size_t>(constant)].group;
    if (std::ranges::find(groups, group) == groups.end()) groups.push_back(group);
  }
  for (const std::string_view group : groups) {
    FlowMap members;
    for (const auto& [constant, value] : constants) {
      const ConstantInfo& info = constant_table()[static_cast<std::size_t>(constant)];
      if (info.group != group) continue;
      const std::string unit = info.unit.empty() ? "" : fmt::format(" {}", info.unit);
      (group.empty() ? map : members).add(info.name, exact_number(value) + unit);
    }
    if (!group.empty()) map.add(group, members.text());
  }
  if (shape.diminuendo) {
    map.add("diminuendo",
            std::string(kDiminuendoNames[static_cast<std::size_t>(*shape.diminuendo)]));
  }
  if (shape.keep) map.add("keep", std::string(kKeepNames[static_cast<std::size_t>(*shape.keep)]));
  return map.text();
}

std::string part_text(const PartPlan& part) {
  FlowMap map;
  map.add("name", yaml_text(part.name));
  if (part.track) map.add("track", fmt::format("{}", *part.track));
  if (part.channel) map.add("channel", fmt::format("{}", *part.channel));
  if (part.hand != Hand::kBoth) {
    map.add("hand", std::string(kHandNames[static_cast<std::size_t>(part.hand)]));
  }
  map.add("role", std::string(kRoleNames[static_cast<std::size_t>(part.role)]));
  if (part.balance) map.add("balance", decibels_text(*part.balance));
  if (part.levels != nullptr) map.add("levels", levels_text(*part.levels));
  return map.text();
}

// Where an entry stands.
template <class Entry>
void add_extent(FlowMap& map, const Entry& entry) {
  map.add(entry.to ? "from" : "at", text_of(entry.from));
  if (entry.to) map.add("to", text_of(*entry.to));
}

void add_part(FlowMap& map, const std::string& part) {
  if (!part.empty()) map.add("part", yaml_text(part));
}

std::string dynamic_text(const DynamicPlan& dynamic) {
  FlowMap map;
  add_extent(map, dynamic);
  if (dynamic.to) map.add("hairpin", dynamic.rises ? "cresc" : "dim");
  if (dynamic.step) map.add("mark", std::string(dynamic_name(*dynamic.step)));
  add_part(map, dynamic.part);
  return map.text();
}

std::string mark_text(const MarkPlan& mark) {
  FlowMap map;
  add_extent(map, mark);
  map.add("mark", std::string(mark_name(mark.mark)));
  add_part(map, mark.part);
  return map.text();
}

std::string removed_text(const RemovePlan& removed) {
  FlowMap map;
  add_extent(map, removed);
  if (removed.rises) map.add("hairpin", *removed.rises ? "cresc" : "dim");
  if (removed.step) map.add("mark", std::string(dynamic_name(*removed.step)));
  if (removed.mark) map.add("mark", std::string(mark_name(*removed.mark)));
  add_part(map, removed.part);
  return map.text();
}

bool is_even(const MotifPlan& motif) {
  return !motif.to && !motif.length && !motif.goal && motif.shape.empty();
}

std::string motif_text(const MotifPlan& motif, bool is_main) {
  if (is_even(motif)) return is_main ? "/" : "u";
  FlowMap map;
  if (motif.to) map.add("to", text_of(*motif.to));
  if (motif.length) map.add("length", text_of(*motif.length));
  if (motif.goal) map.add("goal", text_of(*motif.goal));
  if (is_main) map.add("main", "true");
  if (!motif.shape.empty()) map.add("shape", shape_text(motif.shape));
  return map.text();
}

// The motifs of a phrase one after the other.
std::string motifs_text(const PhrasePlan& phrase, std::string_view between) {
  std::string text;
  for (std::size_t i = 0; i < phrase.motifs.size(); ++i) {
    if (i > 0) text += between;
    text += motif_text(phrase.motifs[i], i == phrase.main);
  }
  return text;
}

bool has_feet(const PhrasePlan& phrase) { return std::ranges::all_of(phrase.motifs, is_even); }

class Writer {
 public:
  Writer(const Plan& plan, const PlanRemarks& remarks) : plan_(plan), remarks_(remarks) {}

  std::string write() {
    for (const std::string& line : remarks_.head) remark(line);
    head();
    entries("dynamics", plan_.dynamics, plan_.page_dynamics, dynamic_text);
    entries("marks", plan_.marks, plan_.page_marks, mark_text);
    cell();
    text_ += "sentences:\n";
    for (std::size_t i = 0; i < plan_.sentences.size(); ++i) {
      if (i < remarks_.sentences.size()) {
        for (const std::string& line : remarks_.sentences[i]) remark(line, "  ");
      }
      sentence(plan_.sentences[i]);
    }
    if (!remarks_.main.empty()) remark(remarks_.main);
    if (plan_.main) text_ += fmt::format("main: {}\n", *plan_.main + 1);
    if (!plan_.shape.empty()) text_ += fmt::format("shape: {}\n", shape_text(plan_.shape));
    for (const std::string& line : remarks_.tail) remark(line);
    return std::move(text_);
  }

 private:
  void remark(const std::string& line, std::string_view indent = "") {
    const std::string shown = printable(line, kLongestRemark);
    text_ += fmt::format("{}#{}{}\n", indent, shown.empty() ? "" : " ", shown);
  }

  void head() {
    text_ += "arsis: 1\n";
    if (!plan_.title.empty()) text_ += fmt::format("title: {}\n", yaml_text(plan_.title));
    text_ += fmt::format("score: {}\n", yaml_text(plan_.score));
    if (plan_.pickup) text_ += fmt::format("pickup: {}\n", text_of(*plan_.pickup));
    if (!plan_.parts.empty()) text_ += "parts:\n";
    for (std::size_t i = 0; i < plan_.parts.size(); ++i) {
      text_ += fmt::format("  - {}", part_text(plan_.parts[i]));
      const bool has_words = i < remarks_.parts.size() && !remarks_.parts[i].empty();
      text_ += has_words ? fmt::format("  # {}\n", printable(remarks_.parts[i])) : "\n";
    }
    if (plan_.levels != nullptr) text_ += fmt::format("levels: {}\n", levels_text(*plan_.levels));
  }

  // A list in place of the page's entries, or what is added to them and removed from them.
  template <class Entry>
  void entries(std::string_view key, const std::vector<Entry>& own, const PageChanges& page,
               std::string (*text_of_entry)(const Entry&)) {
    if (!page.all_replaced && own.empty() && page.removed.empty()) return;
    if (page.all_replaced && own.empty()) {
      text_ += fmt::format("{}: []\n", key);
      return;
    }
    text_ += fmt::format("{}:\n", key);
    const std::string_view indent = page.all_replaced ? "  " : "    ";
    if (!page.all_replaced && !own.empty()) text_ += "  add:\n";
    for (const Entry& entry : own) text_ += fmt::format("{}- {}\n", indent, text_of_entry(entry));
    if (!page.removed.empty()) text_ += "  remove:\n";
    for (const RemovePlan& removed : page.removed) {
      text_ += fmt::format("    - {}\n", removed_text(removed));
    }
  }

  void cell() {
    if (!remarks_.cell.empty()) remark(remarks_.cell);
    if (!plan_.cell || !plan_.cell_from) return;
    FlowMap map;
    map.add("length", text_of(*plan_.cell));
    map.add("from", text_of(*plan_.cell_from));
    text_ += fmt::format("motif: {}\n", map.text());
  }

  // On one line where all its phrases are feet, else a line each.
  void sentence(const SentencePlan& sentence) {
    FlowMap rest;
    std::string text;
    const bool one_line = std::ranges::all_of(sentence.phrases, [](const PhrasePlan& phrase) {
      return has_feet(phrase) && phrase.shape.empty();
    });
    if (sentence.like) rest.add("like", fmt::format("{}", *sentence.like + 1));
    for (const PhrasePlan& phrase : sentence.phrases) {
      if (!one_line) text += "\n      - " + phrase_text(phrase);
      if (one_line) text += (text.empty() ? "" : ", ") + phrase_text(phrase);
    }
    if (one_line && !sentence.like) rest.add("phrases", "[" + text + "]");
    if (sentence.like || sentence.phrases.size() > 1) {
      rest.add("main", fmt::format("{}", sentence.main + 1));
    }
    if (sentence.from) rest.add("from", text_of(*sentence.from));
    if (sentence.length) rest.add("length", text_of(*sentence.length));
    if (!sentence.shape.empty()) rest.add("shape", shape_text(sentence.shape));
    if (one_line) {
      text_ += fmt::format("  - {}\n", rest.text());
      return;
    }
    text_ += "  - phrases:" + text + "\n";
    if (sentence.phrases.size() > 1) text_ += fmt::format("    main: {}\n", sentence.main + 1);
    if (sentence.from) text_ += fmt::format("    from: {}\n", text_of(*sentence.from));
    if (sentence.length) text_ += fmt::format("    length: {}\n", text_of(*sentence.length));
    if (!sentence.shape.empty())
      text_ += fmt::format("    shape: {}\n", shape_text(sentence.shape));
  }

  const Plan& plan_;
  const PlanRemarks& remarks_;
  std::string text_;
};

}  // namespace

std::string yaml_text(const std::string& text) {
  constexpr std::array<std::string_view, 3> kNothing = {"null", "Null", "NULL"};
  const auto is_letter = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); };
  const auto is_plain = [&](char c) {
    return is_letter(c) || (c >= '0' && c <= '9') ||
           std::string_view(" _./-+()").find(c) != std::string_view::npos;
  };
  if (!text.empty() && (is_letter(text[0]) || text[0] == '.' || text[0] == '/') &&
      text.back() != ' ' && std::ranges::all_of(text, is_plain) &&
      std::ranges::find(kNothing, text) == kNothing.end() && text != "...") {
    return text;
  }
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') quoted += '\\';
    quoted += c;
  }
  return quoted + "\"";
}

std::string phrase_text(const PhrasePlan& phrase) {
  const bool feet = has_feet(phrase);
  if (feet && phrase.shape.empty()) return motifs_text(phrase, " ");
  FlowMap map;
  map.add(feet ? "feet" : "motifs",
          feet ? motifs_text(phrase, " ") : "[" + motifs_text(phrase, ", ") + "]");
  if (!phrase.shape.empty()) map.add("shape", shape_text(phrase.shape));
  return map.text();
}

std::string plan_text(const Plan& plan, const PlanRemarks& remarks) {
  assert(!plan.sentences.empty());
  return Writer(plan, remarks).write();
}

}  // namespace arsis
