#include "page/ink.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

#include "base/text.h"

namespace arsis {
namespace {

constexpr double kFarthest = 1e6;  // in millimetres: what is farther is a mistake, and not drawn so

// In tenths of a millimetre with one decimal, and no needless zero: 12.34 mm -> "123.4".
void add_number(std::string& text, Millimetres value) {
  const double safe = std::isfinite(value.value) ? value.value : 0.0;
  const auto hundredths = std::llround(std::clamp(safe, -kFarthest, kFarthest) * 100.0);
  if (hundredths < 0) text += '-';
  const auto size = static_cast<unsigned long long>(std::llabs(hundredths));
  fmt::format_to(std::back_inserter(text), "{}", size / 10);
  if (size % 10 != 0) fmt::format_to(std::back_inserter(text), ".{}", size % 10);
}

void add_point(std::string& data, char command, Point point) {
  data += command;
  add_number(data, point.x);
  data += ' ';
  add_number(data, point.y);
}

// Whether XML 1.0 allows the character, whose UTF-8 is valid: no controls, none of the two
// non-characters that it names. Tabs and line ends are controls to us: our texts are single lines.
bool is_allowed(std::string_view character) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(character[i]); };
  if (character.size() == 1) return byte(0) >= 0x20 && byte(0) != 0x7F;
  if (character.size() == 2) return !(byte(0) == 0xC2 && byte(1) < 0xA0);
  return character != "\xEF\xBF\xBE" && character != "\xEF\xBF\xBF";
}

std::string_view entity_of(char letter) {
  switch (letter) {
    case '&':
      return "&amp;";
    case '<':
      return "&lt;";
    case '>':
      return "&gt;";
    case '"':
      return "&quot;";
    case '\'':
      return "&#39;";
    default:
      return {};
  }
}

// The length of the character there, or 0 where it is no UTF-8.
std::size_t character_at(std::string_view text, std::size_t at) {
  for (std::size_t size = 1; size <= 4 && at + size <= text.size(); ++size) {
    if (utf8_prefix(text.substr(at, size)) == size) return size;
  }
  return 0;
}

}  // namespace

std::string escaped(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t size = character_at(text, at);
    const std::string_view character = text.substr(at, size);
    at += std::max<std::size_t>(size, 1);
    if (size == 0) {
      out += '?';
    } else if (is_allowed(character)) {
      const std::string_view entity = size == 1 ? entity_of(character[0]) : std::string_view();
      out += entity.empty() ? character : entity;
    }
  }
  return out;
}

void Ink::number(Millimetres value) { add_number(text_, value); }

void Ink::attribute(std::string_view name, Millimetres value) {
  fmt::format_to(std::back_inserter(text_), " {}=\"", name);
  number(value);
  text_ += '"';
}

void Ink::begin(std::string_view element, std::string_view classes) {
  fmt::format_to(std::back_inserter(text_), "<{} class=\"{}\"", element, classes);
}

void Ink::open_group(std::string_view classes, std::string_view block) {
  begin("g", classes);
  if (!block.empty()) text_ += " data-block=\"" + escaped(block) + '"';
  text_ += '>';
}

void Ink::describe(std::string_view text) { text_ += "<title>" + escaped(text) + "</title>"; }

void Ink::line(std::string_view classes, Point from, Point to) {
  const std::array<Point, 2> points = {from, to};
  path(classes, points);
}

void Ink::path(std::string_view classes, std::span<const Point> points, bool closed) {
  if (points.size() < 2) return;
  std::string data;
  for (std::size_t i = 0; i < points.size(); ++i) add_point(data, i == 0 ? 'M' : 'L', points[i]);
  if (closed) data += 'Z';
  path_data(classes, data);
}

void Ink::path_data(std::string_view classes, std::string_view data) {
  if (data.empty()) return;
  begin("path", classes);
  fmt::format_to(std::back_inserter(text_), " d=\"{}\"/>", data);
}

void Ink::circle(std::string_view classes, Point centre, Millimetres radius) {
  begin("circle", classes);
  attribute("cx", centre.x);
  attribute("cy", centre.y);
  attribute("r", radius);
  text_ += "/>";
}

void Ink::box(std::string_view classes, const Box& box) {
  begin("rect", classes);
  attribute("x", box.corner.x);
  attribute("y", box.corner.y);
  attribute("width", {std::max(box.width.value, 0.0)});
  attribute("height", {std::max(box.height.value, 0.0)});
  text_ += "/>";
}

void Ink::words(TextKind kind, Point at, std::string_view text, Anchor anchor) {
  begin("text", class_of(kind));
  attribute("x", at.x);
  attribute("y", at.y);
  if (anchor != Anchor::kStart) {
    text_ += anchor == Anchor::kMiddle ? " text-anchor=\"middle\"" : " text-anchor=\"end\"";
  }
  text_ += '>' + escaped(text) + "</text>";
}

void Ink::place(Point at, std::string_view svg) {
  text_ += "<g transform=\"translate(";
  number(at.x);
  text_ += ' ';
  number(at.y);
  text_ += ")\">";
  text_ += svg;
  text_ += "</g>";
}

void add_move(std::string& data, Point to) { add_point(data, 'M', to); }

void add_line(std::string& data, Point to) { add_point(data, 'L', to); }

void add_curve(std::string& data, Point by, Point to) {
  add_point(data, 'Q', by);
  add_point(data, ' ', to);
}

std::string svg_of(std::string_view content, Millimetres width, Millimetres height, bool style) {
  std::string w;
  std::string h;
  add_number(w, width);
  add_number(h, height);
  std::string text = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {0} {1}\" width=\"{2}\" "
      "height=\"{3}\">",
      w, h, style ? short_number(width.value, 2) + "mm" : w,
      style ? short_number(height.value, 2) + "mm" : h);
  if (style) text += "<style>" + page_style() + "</style>";
  text += content;
  text += "</svg>\n";
  return text;
}

}  // namespace arsis
