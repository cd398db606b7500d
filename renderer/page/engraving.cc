#include "page/engraving.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstring>
#include <map>
#include <sstream>

#include "base/text.h"
#include "musicxml/xml_document.h"

namespace arsis {
namespace {

using namespace std::literals;

// Elements that are taken over; of others nothing is, and nothing in them.
constexpr std::array kTakenElements = {"g"sv,        "path"sv, "use"sv,  "ellipse"sv,
                                       "circle"sv,   "rect"sv, "line"sv, "polygon"sv,
                                       "polyline"sv, "text"sv, "tspan"sv};
// Their attributes that are.
constexpr std::array kTakenAttributes = {"d"sv,
                                         "points"sv,
                                         "transform"sv,
                                         "x"sv,
                                         "y"sv,
                                         "x1"sv,
                                         "y1"sv,
                                         "x2"sv,
                                         "y2"sv,
                                         "cx"sv,
                                         "cy"sv,
                                         "r"sv,
                                         "rx"sv,
                                         "ry"sv,
                                         "width"sv,
                                         "height"sv,
                                         "fill"sv,
                                         "fill-opacity"sv,
                                         "stroke"sv,
                                         "stroke-width"sv,
                                         "stroke-dasharray"sv,
                                         "stroke-linecap"sv,
                                         "stroke-linejoin"sv,
                                         "stroke-opacity"sv,
                                         "text-anchor"sv,
                                         "font-size"sv,
                                         "font-style"sv,
                                         "font-weight"sv,
                                         "visibility"sv};
// The library's style sheet, as far as it concerns text: what each of its classes is set in.
constexpr std::array kBold = {"ending"sv, "fing"sv, "reh"sv, "tempo"sv};
constexpr std::array kItalic = {"dir"sv, "dynam"sv};
// Groups that we have no use for: bar numbers are our own.
constexpr std::array kDropped = {"mNum"sv};
// The middle of a black head from its left edge. Measured: it is as wide as the stems at its two
// sides are apart, 226 units at the usual size.
constexpr double kHalfHead = 113.0;
constexpr double kUsualGlyph = 0.72;  // the library's scale of glyphs
constexpr double kSmallGlyph = 0.65;  // below: grace notes (three quarters of the usual) and cues

template <class Words>
bool is_one_of(std::string_view word, const Words& words) {
  return std::ranges::find(words, word) != words.end();
}

std::string_view class_of(pugi::xml_node node) {
  const std::string_view classes = node.attribute("class").as_string();
  return classes.substr(0, classes.find(' '));
}

// The numbers of a text such as "translate(3178, 1044) scale(0.72, 0.72)" or path data.
std::vector<double> numbers_of(std::string_view text) {
  std::vector<double> numbers;
  const char* at = text.data();
  const char* const end = at + text.size();
  while (at != end) {
    double number = 0.0;
    const auto [after, failed] = std::from_chars(at, end, number);
    if (failed == std::errc() && std::isfinite(number)) {
      numbers.push_back(number);
      at = after;
    } else {
      ++at;
    }
  }
  return numbers;
}

class EngravingReader {
 public:
  EngravingReader(const XmlDocument& document, const std::string& prefix, const EngravedIds& ids)
      : document_(document), prefix_(prefix), ids_(ids) {}

  Result<Engraving> read() {
    const pugi::xml_node root = document_.root();
    const pugi::xml_node scaled = root.find_child_by_attribute("svg", "class", "definition-scale");
    const std::vector<double> box = numbers_of(scaled.attribute("viewBox").as_string());
    const pugi::xml_node page = scaled.find_child_by_attribute("g", "class", "page-margin");
    if (box.size() != 4 || !page || !(box[2] > 0.0) || !(box[3] > 0.0)) return unfit(root);
    engraving_.width = {box[2]};
    engraving_.height = {box[3]};
    for (const pugi::xml_node glyph : root.child("defs").children("g")) add_glyph(glyph);
    const std::vector<double> margin = numbers_of(page.attribute("transform").as_string());
    if (margin.size() == 2) {
      left_ = margin[0];
      top_ = margin[1];
    }
    pugi::xml_node drawing = drawing_.append_child("g");
    copy_attributes(page, drawing);
    copy_children(page, drawing);
    if (engraving_.measures.empty()) return unfit(root);
    engraving_.glyphs = text_of(glyphs_);
    engraving_.drawing = text_of(drawing_);
    return std::move(engraving_);
  }

 private:
  Diagnostics unfit(pugi::xml_node root) const {
    return fail(document_.where(root), "is not what the engraving library draws");
  }

  static std::string text_of(const pugi::xml_document& document) {
    std::ostringstream text;
    for (const pugi::xml_node node : document.children()) {
      node.print(text, "", pugi::format_raw | pugi::format_no_declaration);
    }
    return text.str();
  }

  // A glyph's outline by the name that it is used by.
  void add_glyph(pugi::xml_node glyph) {
    const pugi::xml_node path = glyph.child("path");
    if (!path) return;
    const std::string id = prefix_ + std::to_string(names_.size());
    names_[glyph.attribute("id").as_string()] = id;
    pugi::xml_node copy = glyphs_.append_child("path");
    copy.append_attribute("id") = id.c_str();
    copy_attributes(path, copy);
  }

  static void copy_attributes(pugi::xml_node from, pugi::xml_node to) {
    for (const pugi::xml_attribute attribute : from.attributes()) {
      if (!is_one_of(attribute.name(), kTakenAttributes)) continue;
      to.append_attribute(attribute.name()) = attribute.value();
    }
  }

  void copy_children(pugi::xml_node from, pugi::xml_node to) {
    for (const pugi::xml_node child : from.children()) {
      if (child.type() == pugi::node_pcdata) {
        to.append_child(pugi::node_pcdata).set_value(printable(child.value(), 1'000).c_str());
      } else if (is_one_of(child.name(), kTakenElements) && !is_one_of(class_of(child), kDropped)) {
        copy(child, to);
      }
    }
  }

  void copy(pugi::xml_node from, pugi::xml_node to) {
    const std::string_view kind = class_of(from);
    if (kind == "measure") add_measure(from);
    if (std::strcmp(from.name(), "use") == 0) return copy_use(from, to);
    pugi::xml_node made = to.append_child(from.name());
    copy_attributes(from, made);
    if (is_one_of(kind, kBold)) made.append_attribute("font-weight") = "bold";
    if (is_one_of(kind, kItalic)) made.append_attribute("font-style") = "italic";
    if (std::strcmp(from.name(), "text") == 0) made.append_attribute("stroke") = "none";
    if (kind == "note") add_note(from, made);
    copy_children(from, made);
    if (std::strcmp(from.name(), "g") == 0) flatten(made, to);
  }

  void copy_use(pugi::xml_node from, pugi::xml_node to) {
    const std::string_view link = from.attribute("xlink:href").as_string();
    const auto glyph = names_.find(std::string(link.substr(std::min<std::size_t>(1, link.size()))));
    if (glyph == names_.end()) return;
    pugi::xml_node made = to.append_child("use");
    made.append_attribute("href") = ("#" + glyph->second).c_str();
    copy_attributes(from, made);
  }

  // A group that says nothing goes; what it holds stays.
  static void flatten(pugi::xml_node group, pugi::xml_node parent) {
    if (group.first_attribute() && group.first_child()) return;
    for (pugi::xml_node child = group.first_child(); child; child = group.first_child()) {
      parent.insert_move_before(child, group);
    }
    parent.remove_child(group);
  }

  void add_note(pugi::xml_node note, pugi::xml_node made) {
    const auto known = ids_(note.attribute("id").as_string());
    if (!known) return;
    made.append_attribute("class") = "engraved";
    made.append_attribute("data-id") = printable(known->id, 200).c_str();
    const pugi::xml_node head = note.find_child_by_attribute("g", "class", "notehead").child("use");
    const std::vector<double> place = numbers_of(head.attribute("transform").as_string());
    if (place.size() < 3) return;  // a note that is not printed
    const double size = place[2] / kUsualGlyph;
    engraving_.notes.push_back({known->measure,
                                known->id,
                                {left_ + place[0] + kHalfHead * size},
                                {top_ + place[1]},
                                place[2] < kSmallGlyph});
  }

  // From the lines of its first staff, and the first note or rest.
  void add_measure(pugi::xml_node measure) {
    const pugi::xml_node staff = measure.find_child_by_attribute("g", "class", "staff");
    const std::vector<double> line = numbers_of(staff.child("path").attribute("d").as_string());
    if (line.size() != 4) return;
    std::optional<double> first;
    for (const pugi::xml_node each : measure.children("g")) {
      if (class_of(each) != "staff") continue;
      for (const pugi::xml_node layer : each.children("g")) {
        if (class_of(layer) == "layer") find_first(layer, first);
      }
    }
    const double music = end_of_signatures(staff).value_or(line[0]);
    const double content = first.value_or(music + kStaffSpace.value) + kHalfHead;
    const double end = std::min(left_ + line[2], engraving_.width.value);  // rounding aside
    engraving_.measures.push_back(
        {{left_ + line[0]}, {left_ + std::min(music, content)}, {left_ + content}, {end}});
  }

  // Where the clef and the signatures end that a measure's staff begins with; none where it has
  // none.
  static std::optional<double> end_of_signatures(pugi::xml_node staff) {
    struct Kind {
      const char* name;
      double width;  // of its glyph, in staff spaces, rounded up
    };
    constexpr std::array<Kind, 3> kKinds = {{{"clef", 2.8}, {"keySig", 1.1}, {"meterSig", 1.8}}};
    std::optional<double> end;
    for (const Kind& kind : kKinds) {
      const pugi::xml_node group = staff.find_child_by_attribute("g", "class", kind.name);
      for (const pugi::xpath_node use : group.select_nodes(".//use")) {
        const std::vector<double> place = numbers_of(use.node().attribute("transform").as_string());
        if (place.empty()) continue;
        end = std::max(end.value_or(0.0), place[0] + kind.width * kStaffSpace.value);
      }
    }
    return end;
  }

  static void find_first(pugi::xml_node node, std::optional<double>& first) {
    const std::string_view kind = class_of(node);
    if (kind == "notehead" || kind == "rest") {
      for (const pugi::xml_node use : node.children("use")) {
        const std::vector<double> place = numbers_of(use.attribute("transform").as_string());
        if (place.size() < 3 || place[2] < kSmallGlyph) continue;
        first = std::min(first.value_or(place[0]), place[0]);
      }
      return;
    }
    for (const pugi::xml_node child : node.children("g")) find_first(child, first);
  }

  const XmlDocument& document_;
  const std::string& prefix_;
  const EngravedIds& ids_;
  Engraving engraving_;
  pugi::xml_document glyphs_;
  pugi::xml_document drawing_;
  std::map<std::string, std::string> names_;  // of glyphs: the library's, ours
  double left_ = 0.0;                         // of what is drawn, the page's margin
  double top_ = 0.0;
};

}  // namespace

Result<Engraving> read_engraving(std::string_view svg, const std::string& prefix,
                                 const EngravedIds& ids) {
  const Result<XmlDocument> document = XmlDocument::parse(svg, "engraved staff");
  if (!document) return document.diagnostics();
  return EngravingReader(*document, prefix, ids).read();
}

}  // namespace arsis
