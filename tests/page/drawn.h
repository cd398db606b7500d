// Pictures for the tests of pages, and what is drawn in them, read back from the SVG.
#pragma once

#include <filesystem>
#include <pugixml.hpp>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/text.h"
#include "page/ink.h"
#include "page/picture.h"
#include "page/sheet.h"
#include "plan/plan_reader.h"
#include "shape/bound.h"
#include "smf/score_reader.h"

namespace arsis::test {

// A score with its plan, performed: what a picture points into.
struct Drawing {
  Score score;
  BoundPlan plan;
  Layers layers;
  Shaped shaped;

  Drawing(Score written, BoundPlan bound_plan, Layers heard = {})
      : score(std::move(written)),
        plan(std::move(bound_plan)),
        layers(std::move(heard)),
        shaped(perform(score, plan, layers)) {}

  Picture picture(std::string title = "A piece") const {
    return {score,
            plan,
            shaped.levels,
            layers,
            std::move(title),
            "two hands",
            {course_of(score, plan, shaped, "the plan")},
            {}};
  }
  Span whole() const { return {{0.0}, {1e9}}; }
};

// A demo piece with its plan, by its name in plans/.
inline Drawing demo(const std::string& name) {
  const std::filesystem::path path =
      std::filesystem::path(ARSIS_SOURCE_DIR) / "plans" / (name + ".yaml");
  const Result<Plan> plan = read_plan(path);
  if (!plan) throw std::invalid_argument(to_string(plan.diagnostics().front()));
  Result<Score> read = read_score(score_path(*plan));
  if (!read) throw std::invalid_argument(to_string(read.diagnostics().front()));
  Score score = with_plan_pickup(*std::move(read), *plan);
  Result<BoundPlan> bound = bind_plan(*plan, score);
  if (!bound) throw std::invalid_argument(to_string(bound.diagnostics().front()));
  return {std::move(score), *std::move(bound)};
}

// The score without a plan: its parts, and no blocks.
inline Drawing unplanned(Score score) {
  Result<BoundPlan> bound = bind_plan(Plan{}, score);
  if (!bound) throw std::invalid_argument(to_string(bound.diagnostics().front()));
  return {std::move(score), *std::move(bound)};
}

// Even phrases of two bars of 4/4, two to a sentence, over `bars` bars of quarters and a bass.
inline Drawing even_piece(int bars) {
  std::string feet = "motif: {length: 1 bar, from: 1:1}\nsentences:\n";
  for (int i = 0; i < bars / 4; ++i) feet += "  - {phrases: [u /, / u], main: 2}\n";
  Score score = two_hands(repeated("C5 D5 E5 F5", bars), repeated("C3/4", bars));
  BoundPlan plan = bound(score, "dynamics: [{at: 1:1, mark: mf}]\n" + feet, kTwoHands);
  return {std::move(score), std::move(plan)};
}

// One thing drawn.
struct Mark {
  std::string element;
  std::string classes;
  std::string block;          // data-block of the group that holds it; empty: none does
  std::string block_classes;  // of that group
  std::string text;
  std::vector<Point> points;  // in millimetres from the picture's corner; of a text its two ends
  Box view;                   // what the <svg> around it shows

  bool is(std::string_view word) const {
    return (" " + classes + " ").find(" " + std::string(word) + " ") != std::string::npos;
  }
  bool of(std::string_view word) const {
    return (" " + block_classes + " ").find(" " + std::string(word) + " ") != std::string::npos;
  }
};

namespace detail {

inline std::vector<double> numbers_in(std::string_view text) {
  std::vector<double> numbers;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t begin = text.find_first_of("-.0123456789", at);
    if (begin == std::string_view::npos) break;
    at = std::min(text.find_first_not_of("-.0123456789", begin), text.size());
    const auto number = parse_number(text.substr(begin, at - begin));
    if (!number) throw std::invalid_argument("no number in " + std::string(text));
    numbers.push_back(*number);
  }
  return numbers;
}

inline TextKind kind_of(const Mark& mark) {
  if (mark.classes == "name") {
    return mark.of("sentence") ? TextKind::kSentenceName
           : mark.of("phrase") ? TextKind::kPhraseName
                               : TextKind::kMotifName;
  }
  for (int kind = 0; kind <= static_cast<int>(TextKind::kAnswer); ++kind) {
    if (class_of(static_cast<TextKind>(kind)) == mark.classes) return static_cast<TextKind>(kind);
  }
  throw std::invalid_argument("no kind of text: " + mark.classes);
}

// Units are tenths of a millimetre.
class Reader {
 public:
  std::vector<Mark> marks;

  void read(const pugi::xml_node& node, Point origin, Box view, Mark around) {
    const std::string name = node.name();
    const auto length = [&](const char* attribute) {
      return Millimetres{node.attribute(attribute).as_double() / 10.0};
    };
    if (name == "svg") {
      const std::vector<double> box = numbers_in(node.attribute("viewBox").value());
      view = {origin, {box.at(2) / 10.0}, {box.at(3) / 10.0}};
    }
    if (name == "g") {
      if (const auto move = numbers_in(node.attribute("transform").value()); !move.empty()) {
        origin = {origin.x + Millimetres{move.at(0) / 10.0},
                  origin.y + Millimetres{move.at(1) / 10.0}};
      }
      if (node.attribute("data-block")) {
        around.block = node.attribute("data-block").value();
        around.block_classes = node.attribute("class").value();
      }
    }
    Mark mark = around;
    mark.element = name;
    mark.classes = node.attribute("class").value();
    mark.view = view;
    const auto add = [&](Millimetres x, Millimetres y) {
      mark.points.push_back({origin.x + x, origin.y + y});
    };
    if (name == "path") {
      const std::vector<double> all = numbers_in(node.attribute("d").value());
      for (std::size_t i = 0; i + 1 < all.size(); i += 2) add({all[i] / 10.0}, {all[i + 1] / 10.0});
    } else if (name == "rect") {
      add(length("x"), length("y"));
      add(length("x") + length("width"), length("y") + length("height"));
    } else if (name == "circle") {
      add(length("cx"), length("cy"));
    } else if (name == "text") {
      mark.text = node.text().get();
      const std::string anchor = node.attribute("text-anchor").value();
      const Millimetres width = text_width(mark.text, kind_of(mark));
      const double before = anchor == "end" ? 1.0 : anchor == "middle" ? 0.5 : 0.0;
      add(length("x") - width * before, length("y"));
      add(length("x") + width * (1.0 - before), length("y"));
    }
    if (!mark.points.empty()) marks.push_back(std::move(mark));
    for (const pugi::xml_node& child : node.children()) read(child, origin, view, around);
  }
};

}  // namespace detail

// All that is drawn. Throws where the SVG is no well-formed XML.
inline std::vector<Mark> marks_of(const std::string& svg) {
  pugi::xml_document document;
  const pugi::xml_parse_result result = document.load_buffer(svg.data(), svg.size());
  if (!result) throw std::invalid_argument(std::string("no XML: ") + result.description());
  detail::Reader reader;
  reader.read(document.document_element(), {}, {}, {});
  return std::move(reader.marks);
}

inline std::vector<Mark> only(const std::vector<Mark>& marks, std::string_view word) {
  std::vector<Mark> found;
  for (const Mark& mark : marks) {
    if (mark.is(word)) found.push_back(mark);
  }
  return found;
}

// All systems of a picture, drawn in a usual frame.
inline std::vector<DrawnSystem> drawn_systems(const Picture& picture, Span passage,
                                              Millimetres width = {180.0}) {
  Frame frame;
  frame.width = width;
  frame.scales = scales_of(picture, passage);
  std::vector<DrawnSystem> drawn;
  for (const System& system : systems_of(picture, passage, room_in(frame))) {
    drawn.push_back(draw_system(picture, system, frame));
  }
  return drawn;
}

}  // namespace arsis::test
