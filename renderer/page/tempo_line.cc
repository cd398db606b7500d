// How fast the performance goes, beside the written tempo.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.h"
#include "page/canvas.h"

namespace arsis {
namespace {

constexpr Millimetres kBesideMark{1.4};
constexpr double kOther = 0.01;  // ratio: a written tempo that differs by less is not told

Millimetres height_of(const Canvas& canvas, Row row, double ratio) {
  const Scales& scales = canvas.frame.scales;
  const double share = (scales.fastest - ratio) / (scales.fastest - scales.slowest);
  return row.top + row.height * std::clamp(share, 0.0, 1.0);
}

void draw_course(Canvas& canvas, Row row, const Course& course, bool second) {
  const auto first =
      std::ranges::lower_bound(course.tempo, canvas.span.begin + kSameMoment, {},
                               [](const TempoStretch& stretch) { return stretch.span.end; });
  std::vector<Point> points;
  for (auto each = first; each != course.tempo.end() && each->span.begin < canvas.span.end;
       ++each) {
    const Beats middle = each->span.begin + each->span.length() / 2.0;
    const Millimetres y = height_of(canvas, row, each->ratio);
    if (points.empty()) points.push_back({canvas.left(), y});
    if (middle > canvas.span.begin && middle < canvas.span.end) {
      points.push_back({canvas.axis.x_at(middle), y});
    }
    if (each->span.end >= canvas.span.end - kSameMoment) points.push_back({canvas.right(), y});
  }
  canvas.ink.path(second ? "tempo second" : "tempo", points);
}

// One number, as far under the written tempo as there is room for.
void draw_tempo_scale(Canvas& canvas, Row row) {
  const Millimetres even = height_of(canvas, row, 1.0);
  const int percent = static_cast<int>((1.0 - canvas.frame.scales.slowest) * 20.0) * 5;
  const Millimetres y = height_of(canvas, row, 1.0 - percent / 100.0);
  if (percent == 0 || y - even < leading(TextKind::kScale) * 0.9) return;
  canvas.ink.line("beat", {canvas.left() - kBesideMark * 0.65, y}, {canvas.left(), y});
  canvas.ink.words(TextKind::kScale,
                   {canvas.left() - kBesideMark, y + cap_height(TextKind::kScale) / 2.0},
                   fmt::format("−{} %", percent), Anchor::kEnd);
}

// "♩ = 72", in the beats that a musician counts.
std::string mark_of(const Canvas& canvas, Beats at, std::int64_t microseconds) {
  const double beat = counted_beat(canvas.picture.score.bars.at(at).signature).value;
  const double quarters = 60e6 / static_cast<double>(microseconds);
  const auto text = [&](std::string_view sign, double unit) {
    return fmt::format("{} = {}", sign, short_number(quarters / unit, 0));
  };
  if (same_moment({beat}, {1.5})) return text("♩.", 1.5);
  if (same_moment({beat}, {0.5})) return text("♪", 0.5);
  return text("♩", 1.0);
}

// The written tempo where the piece begins and where it changes.
void draw_marks(Canvas& canvas, Row row) {
  Millimetres end{-100.0};
  std::int64_t last = 0;
  for (const TempoChange& change : canvas.picture.score.tempo.changes()) {
    if (change.at >= canvas.span.end - kSameMoment) break;
    const auto old = static_cast<double>(last);
    const auto now = static_cast<double>(change.microseconds_per_quarter);
    if (std::abs(now - old) < kOther * now) continue;
    last = change.microseconds_per_quarter;
    if (change.at < canvas.span.begin - kSameMoment) continue;
    const std::string text = mark_of(canvas, change.at, last);
    const Millimetres x = canvas.axis.x_at(change.at);
    const Millimetres width = text_width(text, TextKind::kTempoMark);
    if (x < end || x + width > canvas.right()) continue;
    canvas.ink.words(TextKind::kTempoMark, {x + kBesideMark * 0.4, row.top - Millimetres{0.5}},
                     text);
    end = x + width + kBesideMark;
  }
}

}  // namespace

void draw_tempo(Canvas& canvas, Row row) {
  const Millimetres even = height_of(canvas, row, 1.0);
  canvas.ink.line("written-tempo", {canvas.left(), even}, {canvas.right(), even});
  canvas.ink.words(TextKind::kScale,
                   {canvas.left() - kBesideMark, even + cap_height(TextKind::kScale) / 2.0},
                   "tempo", Anchor::kEnd);
  draw_tempo_scale(canvas, row);
  const std::vector<Course>& courses = canvas.picture.courses;
  for (std::size_t i = 0; i < courses.size(); ++i) draw_course(canvas, row, courses[i], i > 0);
  draw_marks(canvas, row);
}

}  // namespace arsis
