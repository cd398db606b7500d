// What sounds under the ceiling: each note's level, the melody's joined phrase by phrase.
#include <algorithm>

#include "page/canvas.h"

namespace arsis {
namespace {

constexpr Millimetres kDash{1.5};  // of a note of the accompaniment

// The phrase that holds the moment, or the number of those before it and a half.
double phrase_at(const BoundPlan& plan, Beats at) {
  const auto next = std::ranges::upper_bound(plan.phrases, at + kSameMoment, {},
                                             [](const Block& block) { return block.span.begin; });
  const auto count = static_cast<double>(next - plan.phrases.begin());
  const bool inside = next != plan.phrases.begin() && std::prev(next)->span.holds(at);
  return inside ? count : count + 0.5;
}

// The notes of a course that sound in the system.
std::span<const HeardLevel> points_in(const Canvas& canvas, const Course& course) {
  const auto begin =
      std::ranges::lower_bound(course.levels, canvas.span.begin - kSameMoment, {}, &HeardLevel::at);
  const auto end =
      std::ranges::lower_bound(course.levels, canvas.span.end - kSameMoment, {}, &HeardLevel::at);
  return {begin, end};
}

void draw_accompaniment(Canvas& canvas, Row band, std::span<const HeardLevel> points) {
  std::string data;
  for (const HeardLevel& point : points) {
    if (point.melody) continue;
    const Millimetres x = canvas.axis.x_at(point.at);
    const Millimetres y = height_of_level(canvas, band, point.level);
    add_move(data, {x, y});
    add_line(data, {std::min(x + kDash, canvas.right()), y});
  }
  canvas.ink.path_data("level accompaniment", data);
}

void draw_melody(Canvas& canvas, Row band, std::span<const HeardLevel> points, bool second) {
  std::string lines;
  std::string dots;
  double phrase = -1.0;
  for (const HeardLevel& point : points) {
    if (!point.melody) continue;
    const Point place = {canvas.axis.x_at(point.at), height_of_level(canvas, band, point.level)};
    const double own = phrase_at(canvas.picture.plan, point.at);
    if (own == phrase) {
      add_line(lines, place);
    } else {
      add_move(lines, place);
    }
    phrase = own;
    add_move(dots, place);
    add_line(dots, place);
  }
  canvas.ink.path_data(second ? "level-line second" : "level-line", lines);
  if (!second) canvas.ink.path_data("level", dots);
}

}  // namespace

void draw_levels(Canvas& canvas, Row band) {
  const std::vector<Course>& courses = canvas.picture.courses;
  for (std::size_t i = 0; i < courses.size(); ++i) {
    const auto points = points_in(canvas, courses[i]);
    if (i == 0) draw_accompaniment(canvas, band, points);
    draw_melody(canvas, band, points, i > 0);
  }
}

}  // namespace arsis
