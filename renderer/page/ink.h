// Writes SVG: shapes in millimetres, coordinates in tenths of them.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "base/units.h"
#include "page/style.h"

namespace arsis {

struct Point {
  Millimetres x;
  Millimetres y;  // downwards
};

struct Box {
  Point corner;  // the upper left one
  Millimetres width;
  Millimetres height;
};

enum class Anchor : std::uint8_t { kStart, kMiddle, kEnd };

// The text as XML may hold it between tags and in attributes: valid UTF-8, without control
// characters and what else XML 1.0 forbids (section 2.2), the five special characters written out.
std::string escaped(std::string_view text);

class Ink {
 public:
  // `classes` are our own words, not escaped. `block` is a block's name.
  void open_group(std::string_view classes, std::string_view block = {});
  void close_group() { text_ += "</g>"; }
  void line(std::string_view classes, Point from, Point to);
  // Joined by straight lines; nothing where there are fewer than two points.
  void path(std::string_view classes, std::span<const Point> points, bool closed = false);
  // As SVG path data writes it, which add_move() and its kin make.
  void path_data(std::string_view classes, std::string_view data);
  void circle(std::string_view classes, Point centre, Millimetres radius);
  void box(std::string_view classes, const Box& box);
  // On a base line. Any bytes; they are escaped.
  void words(TextKind kind, Point at, std::string_view text, Anchor anchor = Anchor::kStart);
  // A whole <svg> or a part of one, as it is, moved there.
  void place(Point at, std::string_view svg);
  // What a reader is told of the group that was just opened.
  void describe(std::string_view text);

  std::string take() { return std::move(text_); }

 private:
  void number(Millimetres value);
  void attribute(std::string_view name, Millimetres value);
  void begin(std::string_view element, std::string_view classes);
  std::string text_;
};

// Path data, piece by piece: moves to a point, a straight line to one, a line to the right, a curve
// of the second order.
void add_move(std::string& data, Point to);
void add_line(std::string& data, Point to);
void add_curve(std::string& data, Point by, Point to);

// A complete <svg> element of that size around what was drawn. `style`: with the style sheet
// inside, to stand alone.
std::string svg_of(std::string_view content, Millimetres width, Millimetres height, bool style);

}  // namespace arsis
