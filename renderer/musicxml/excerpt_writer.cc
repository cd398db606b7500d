#include "musicxml/excerpt_writer.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <map>
#include <set>
#include <sstream>

#include "base/text.h"
#include "musicxml/container.h"
#include "musicxml/open_lines.h"

namespace arsis {
namespace {

std::string text_of(pugi::xml_node node) {
  std::ostringstream text;
  node.print(text, "", pugi::format_raw);
  return text.str();
}

constexpr std::size_t kLongestPartName = 40;  // bytes of a part's name: it stands before its staff

// What an element `attributes` may set and that goes on until it is set again, each for all staves
// or for one of them, in the order that MusicXML 4.0 has them in. The rest of that element is for
// its own measure alone, or says how many measures of rest are drawn as one.
constexpr std::array<const char*, 8> kLasting = {
    "divisions", "key", "time", "staves", "instruments", "clef", "staff-details", "transpose"};

// The attributes in force.
class Attributes {
 public:
  void pass(pugi::xml_node attributes) {
    for (std::size_t i = 0; i < kLasting.size(); ++i) {
      for (const pugi::xml_node node : attributes.children(kLasting[i])) {
        const int staff = std::clamp(node.attribute("number").as_int(0), 0, 100);
        auto& set = in_force_[i];
        if (staff == 0) set.clear();  // for all staves
        set[staff] = node;
      }
    }
  }

  // As an element `attributes` in front of what stands in the measure; what was in force `before`
  // is left out.
  void write(pugi::xml_node measure, const Attributes* before, bool shows_time) const {
    pugi::xml_node attributes = measure.prepend_child("attributes");
    for (std::size_t i = 0; i < kLasting.size(); ++i) {
      for (const auto& [staff, node] : in_force_[i]) {
        if (before != nullptr && before->has(i, staff, node)) continue;
        pugi::xml_node copy = attributes.append_copy(node);
        if (is_named(copy, "time") && !shows_time) {
          copy.remove_attribute("print-object");
          copy.append_attribute("print-object") = "no";
        }
      }
    }
    if (!attributes.first_child()) measure.remove_child(attributes);
  }

 private:
  bool has(std::size_t kind, int staff, pugi::xml_node node) const {
    const auto found = in_force_[kind].find(staff);
    return found != in_force_[kind].end() &&
           (found->second == node || text_of(found->second) == text_of(node));
  }

  std::array<std::map<int, pugi::xml_node>, kLasting.size()> in_force_;
};

// What holds in a part before a measure.
struct PartState {
  Attributes attributes;
  OpenLines open;
  std::size_t notes = 0;  // elements so far
};

// Elements of a measure that say how the page is laid out or sounds, or that an engraver sets in a
// font of its own.
bool is_left_out(pugi::xml_node node) {
  constexpr std::array<const char*, 8> kOut = {"print",    "sound",     "harmony", "figured-bass",
                                               "grouping", "listening", "link",    "bookmark"};
  return std::ranges::any_of(kOut, [&](const char* name) { return is_named(node, name); });
}

// "♩. = 84". Note values without a sign in common fonts are named.
std::string words_of_metronome(pugi::xml_node metronome) {
  std::string words;
  for (const pugi::xml_node node : metronome.children()) {
    const std::string value = node.text().as_string();
    if (is_named(node, "beat-unit")) {
      if (!words.empty()) words += " = ";
      words += value == "quarter" ? "\u2669" : value == "eighth" ? "\u266a" : value;
    } else if (is_named(node, "beat-unit-dot")) {
      words += ".";
    } else if (is_named(node, "per-minute")) {
      words += " = " + value;
    }
  }
  return words;
}

void set_if_new(pugi::xml_node node, const char* name, const char* value) {
  if (!node.attribute(name)) node.append_attribute(name) = value;
}

// Metronome marks become words. Words about the tempo are upright and bold where they do not say
// otherwise (common practice, no source), since an engraver sets other words in italics.
void set_tempo_words(pugi::xml_node direction) {
  bool is_tempo = static_cast<bool>(direction.child("sound").attribute("tempo"));
  for (const pugi::xml_node type : direction.children("direction-type")) {
    is_tempo |= static_cast<bool>(type.child("metronome"));
  }
  direction.remove_child("sound");
  if (!is_tempo) return;
  pugi::xml_node before;  // words
  for (pugi::xml_node type = direction.child("direction-type"); type;) {
    const pugi::xml_node next = type.next_sibling("direction-type");
    if (const pugi::xml_node metronome = type.child("metronome")) {
      const std::string words = words_of_metronome(metronome);
      if (before) {
        before.text() = (before.text().as_string() + (" " + words)).c_str();
        direction.remove_child(type);
        type = next;
        continue;
      }
      type.remove_children();
      type.append_child("words").text() = words.c_str();
    }
    for (pugi::xml_node words : type.children("words")) {
      set_if_new(words, "font-style", "normal");
      set_if_new(words, "font-weight", "bold");
      before = words;
    }
    type = next;
  }
}

// The copy of a measure as far as it is drawn. Its notes are given ids: measure, part, count.
void clean(pugi::xml_node measure, std::size_t index, std::size_t part, std::size_t notes) {
  for (pugi::xml_node child = measure.first_child(); child;) {
    const pugi::xml_node next = child.next_sibling();
    if (is_left_out(child)) {
      measure.remove_child(child);
    } else if (is_named(child, "attributes")) {
      while (child.remove_child("measure-style")) continue;
    } else if (is_named(child, "direction")) {
      set_tempo_words(child);
    } else if (is_named(child, "note")) {
      child.remove_attribute("id");
      const std::string id = fmt::format("n{}-{}-{}", index, part, ++notes);
      child.append_attribute("id") = id.c_str();
    }
    child = next;
  }
}

// The elements `attributes` before anything that has a length.
std::vector<pugi::xml_node> leading_attributes(pugi::xml_node measure) {
  std::vector<pugi::xml_node> leading;
  for (const pugi::xml_node child : measure.children()) {
    if (is_named(child, "note") || is_named(child, "forward") || is_named(child, "backup")) break;
    if (is_named(child, "attributes")) leading.push_back(child);
  }
  return leading;
}

// Makes the excerpts of a document, part by part.
class Excerpts {
 public:
  Excerpts(const Layout& layout, pugi::xml_node root, std::span<const PageExcerptRequest> requests)
      : layout_(layout), root_(root), requests_(requests), texts_(requests.size()) {
    for (pugi::xml_document& text : texts_) {
      pugi::xml_node score = text.append_child("score-partwise");
      score.append_attribute("version") = "4.0";
    }
  }

  std::vector<std::string> all() {
    for (std::size_t i = 0; i < texts_.size(); ++i) add_part_list(i);
    for (std::size_t part = 0; part < layout_.measures.size(); ++part) {
      note_states(part);
      for (std::size_t i = 0; i < texts_.size(); ++i) add_part(i, part);
    }
    std::vector<std::string> all;
    for (const pugi::xml_document& text : texts_) {
      std::ostringstream out;
      text.save(out, "", pugi::format_raw);
      all.push_back(out.str());
    }
    return all;
  }

 private:
  void add_part_list(std::size_t i) {
    pugi::xml_node list = texts_[i].document_element().append_child("part-list");
    const bool names = requests_[i].names_parts && layout_.ids.size() > 1;
    std::size_t part = 0;
    for (const pugi::xml_node node : root_.child("part-list").children()) {
      if (is_named(node, "part-group")) list.append_copy(node);
      if (!is_named(node, "score-part") || part == layout_.ids.size()) continue;
      pugi::xml_node copy = list.append_child("score-part");
      copy.append_attribute("id") = fmt::format("P{}", ++part).c_str();
      const auto name = names ? printable(node.child_value("part-name"), kLongestPartName) : "";
      copy.append_child("part-name").text() = name.c_str();
    }
    while (part < layout_.ids.size()) {
      pugi::xml_node made = list.append_child("score-part");
      made.append_attribute("id") = fmt::format("P{}", ++part).c_str();
      made.append_child("part-name");
    }
  }

  // What holds before each measure with which an excerpt, or a new run within one, begins.
  void note_states(std::size_t part) {
    states_.clear();
    std::set<std::size_t> wanted;
    for (const PageExcerptRequest& request : requests_) {
      for (std::size_t i = 0; i < request.measures.size(); ++i) {
        const std::size_t measure = request.measures[i];
        if (i > 0 && measure == request.measures[i - 1] + 1) continue;
        wanted.insert(measure);
        if (i > 0) wanted.insert(request.measures[i - 1] + 1);
      }
    }
    PartState state;
    const auto& measures = layout_.measures[part];
    note_counts_.assign(1, 0);
    for (std::size_t i = 0; i <= measures.size(); ++i) {
      if (wanted.contains(i)) states_[i] = state;
      if (i == measures.size()) break;
      for (const pugi::xml_node node : measures[i].children()) {
        if (is_named(node, "attributes")) state.attributes.pass(node);
        if (is_named(node, "note")) ++state.notes;
      }
      state.open.pass(measures[i]);
      note_counts_.push_back(state.notes);
    }
  }

  void add_part(std::size_t i, std::size_t part) {
    pugi::xml_node added = texts_[i].document_element().append_child("part");
    added.append_attribute("id") = fmt::format("P{}", part + 1).c_str();
    const std::vector<std::uint32_t>& wanted = requests_[i].measures;
    for (std::size_t k = 0; k < wanted.size(); ++k) {
      pugi::xml_node measure = added.append_child("measure");
      measure.append_attribute("number") = fmt::format("{}", k + 1).c_str();
      if (wanted[k] >= layout_.measures[part].size()) continue;
      const pugi::xml_node printed = layout_.measures[part][wanted[k]];
      for (const pugi::xml_node child : printed.children()) measure.append_copy(child);
      const bool goes_on = k > 0 && wanted[k] == wanted[k - 1] + 1;
      if (!goes_on) begin(measure, printed, wanted, k);
      clean(measure, k, part, note_counts_[wanted[k]]);
    }
    if (!wanted.empty() && states_.contains(wanted[0])) close_lines(added, states_[wanted[0]].open);
  }

  // A measure with which an excerpt, or a new run within one, begins.
  void begin(pugi::xml_node measure, pugi::xml_node printed, std::span<const std::uint32_t> wanted,
             std::size_t k) {
    for (const pugi::xml_node attributes : leading_attributes(measure)) {
      measure.remove_child(attributes);
    }
    Attributes now = states_[wanted[k]].attributes;
    bool shows_time = wanted[k] == 0;
    for (const pugi::xml_node attributes : leading_attributes(printed)) {
      now.pass(attributes);
      shows_time |= static_cast<bool>(attributes.child("time"));
    }
    const Attributes* before = k > 0 ? &states_[wanted[k - 1] + 1].attributes : nullptr;
    now.write(measure, before, shows_time || k > 0);
  }

  const Layout& layout_;
  pugi::xml_node root_;
  std::span<const PageExcerptRequest> requests_;
  std::vector<pugi::xml_document> texts_;
  std::map<std::size_t, PartState> states_;  // of the part that is being written, by measure
  std::vector<std::size_t> note_counts_;     // of it: elements before each measure
};

}  // namespace

ExcerptWriter::ExcerptWriter(XmlDocument document, std::string file)
    : file_(std::move(file)), document_(std::move(document)), layout_(layout_of(document_.root())) {
  for (const auto& measures : layout_.measures) {
    auto& notes = notes_.emplace_back();
    for (const pugi::xml_node measure : measures) {
      for (const pugi::xml_node note : measure.children("note")) notes.push_back(note);
    }
  }
}

Result<ExcerptWriter> ExcerptWriter::read(const std::filesystem::path& path) {
  const Result<std::string> text = read_musicxml_text(path);
  if (!text) return text.diagnostics();
  return of_text(*text, path.string());
}

Result<ExcerptWriter> ExcerptWriter::of_text(std::string_view text, const std::string& name) {
  Result<XmlDocument> document = XmlDocument::parse(text, name);
  if (!document) return document.diagnostics();
  ExcerptWriter writer(*std::move(document), name);
  if (writer.layout_.measures.empty()) {
    return fail({.file = name}, "is no score of MusicXML", "export the score again");
  }
  return writer;
}

Result<std::vector<std::string>> ExcerptWriter::excerpts(
    std::span<const PageExcerptRequest> requests) const {
  std::size_t count = 0;
  std::size_t measures = 0;
  for (const auto& part : layout_.measures) measures = std::max(measures, part.size());
  for (const PageExcerptRequest& request : requests) {
    count += request.measures.size() * layout_.measures.size();
    for (const std::uint32_t measure : request.measures) {
      if (measure >= measures) {
        return fail({.file = file_}, fmt::format("has no measure {}", measure + 1));
      }
    }
  }
  if (count > kMostMeasures) {
    return fail({.file = file_}, "is too long for an engraved staff",
                fmt::format("{} measures of all parts can be", kMostMeasures));
  }
  return Excerpts(layout_, document_.root(), requests).all();
}

std::optional<ExcerptNote> ExcerptWriter::note(std::string_view engraved_id) const {
  if (!engraved_id.starts_with('n')) return std::nullopt;
  engraved_id.remove_prefix(1);
  std::array<std::size_t, 3> numbers{};
  for (std::size_t i = 0; i < numbers.size(); ++i) {
    const std::size_t end = std::min(engraved_id.find('-'), engraved_id.size());
    const auto number = parse_integer(engraved_id.substr(0, end));
    if (!number || *number < 0) return std::nullopt;
    numbers[i] = static_cast<std::size_t>(*number);
    engraved_id.remove_prefix(std::min(end + 1, engraved_id.size()));
  }
  const auto [measure, part, count] = numbers;
  if (part >= notes_.size() || count < 1 || count > notes_[part].size()) return std::nullopt;
  return ExcerptNote{measure, note_id_of(notes_[part][count - 1], part, count)};
}

}  // namespace arsis
