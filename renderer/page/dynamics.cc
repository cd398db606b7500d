// The written dynamics: their names and hairpins, and the ceiling that they make.
#include <algorithm>
#include <optional>

#include "page/canvas.h"
#include "shape/ceiling.h"

namespace arsis {
namespace {

constexpr Millimetres kHalfOpening{1.15};  // of a hairpin at its open end
constexpr Millimetres kBesideName{0.9};
constexpr Millimetres kShortest{2.0};  // hairpin that is drawn

// Where the moment lies on the hairpin's way, 0..1.
double share_of(const DynamicStretch& stretch, Beats at) {
  return std::clamp((at - stretch.from) / (stretch.to - stretch.from), 0.0, 1.0);
}

// The dynamic line of the melody, or of the first part.
std::size_t main_line(const BoundPlan& plan) {
  const auto melody = std::ranges::find(plan.parts, Role::kMelody, &BoundPart::role);
  if (melody != plan.parts.end()) return melody->dynamics;
  return plan.parts.empty() ? 0 : plan.parts.front().dynamics;
}

// One line's words and hairpins within the system, in the row.
class Names {
 public:
  Names(Canvas& canvas, Row row) : canvas_(canvas), row_(row), end_(canvas.left()) {}

  void draw(const DynamicLine& line) {
    const Span span = canvas_.span;
    for (std::size_t i = 0; i < line.size(); ++i) {
      const DynamicStretch& stretch = line[i];
      if (stretch.from >= span.end - kSameMoment) break;
      if (i == 0 || line[i - 1].to <= span.begin + kSameMoment) begin_line(line, i);
      if (!stretch.is_hairpin()) {
        if (stretch.from >= span.begin - kSameMoment) name(stretch.from, stretch.begin_step);
        continue;
      }
      if (stretch.to <= span.begin + kSameMoment) continue;
      draw_hairpin(line, i);
    }
    if (!line.empty() && last_step(line) && !named_) hold(*last_step(line));
  }

 private:
  // The step in force where the system begins, from what ended by then.
  std::optional<int> last_step(const DynamicLine& line) const {
    std::optional<int> step;
    for (const DynamicStretch& stretch : line) {
      if (stretch.to > canvas_.span.begin - kSameMoment || stretch.from >= canvas_.span.begin)
        break;
      step = stretch.end_step;
    }
    return step;
  }

  // Says at the first thing drawn what holds until there.
  void begin_line(const DynamicLine& line, std::size_t index) {
    if (named_ || line[index].to <= canvas_.span.begin - kSameMoment) return;
    if (line[index].from <= canvas_.span.begin + kSameMoment) {
      named_ = true;
      return;
    }
    if (const auto step = last_step(line)) hold(*step);
  }

  void hold(int step) {
    named_ = true;
    const std::string_view word = dynamic_name(step);
    canvas_.ink.words(TextKind::kHeld, {canvas_.left(), base()}, word);
    end_ = canvas_.left() + text_width(word, TextKind::kHeld) + kBesideName;
  }

  void draw_hairpin(const DynamicLine& line, std::size_t index) {
    const DynamicStretch& stretch = line[index];
    const bool begins = stretch.from >= canvas_.span.begin - kSameMoment;
    const bool before = index > 0 && same_moment(line[index - 1].to, stretch.from);
    if (begins && index == 0 && !before) name(stretch.from, stretch.begin_step);
    const bool ends = stretch.to < canvas_.span.end - kSameMoment;
    const bool next = index + 1 < line.size() && same_moment(line[index + 1].from, stretch.to) &&
                      !line[index + 1].is_hairpin();
    const Millimetres to = canvas_.axis.x_at(stretch.to);
    const Millimetres x0 = std::max(canvas_.axis.x_at(stretch.from), end_);
    const Millimetres x1 = ends ? to - kBesideName * 1.8 : canvas_.right();
    if (x1 - x0 >= kShortest) wedge(stretch, x0, x1);
    named_ = true;
    if (ends && !next) name(stretch.to, stretch.end_step);
  }

  // As much of it as this system has, as far open as it is there.
  void wedge(const DynamicStretch& stretch, Millimetres x0, Millimetres x1) {
    const double left = share_of(stretch, std::max(stretch.from, canvas_.span.begin));
    const double right = share_of(stretch, std::min(stretch.to, canvas_.span.end));
    const Millimetres open0 = kHalfOpening * (stretch.falls ? 1.0 - left : left);
    const Millimetres open1 = kHalfOpening * (stretch.falls ? 1.0 - right : right);
    const Millimetres middle = base() - Millimetres{0.85};
    std::string data;
    add_move(data, {x0, middle - open0});
    add_line(data, {x1, middle - open1});
    add_move(data, {x0, middle + open0});
    add_line(data, {x1, middle + open1});
    canvas_.ink.path_data("hairpin", data);
  }

  void name(Beats at, int step) {
    named_ = true;
    const std::string_view word = dynamic_name(step);
    const Millimetres width = text_width(word, TextKind::kDynamic);
    Millimetres x = canvas_.axis.x_at(at) - kBesideName * 1.4;
    x = std::max(x, end_);
    if (x + width > canvas_.right() + kBesideName) x = canvas_.right() + kBesideName - width;
    if (x < end_ - kBesideName) return;  // no room beside the word before
    canvas_.ink.words(TextKind::kDynamic, {x, base()}, word);
    end_ = x + width + kBesideName * 0.5;
  }

  Millimetres base() const { return row_.bottom() - Millimetres{1.1}; }

  Canvas& canvas_;
  Row row_;
  Millimetres end_;  // of what was last drawn
  bool named_ = false;
};

// The upper edge of a ceiling through the system, from left to right.
class CeilingEdge {
 public:
  CeilingEdge(const Canvas& canvas, Row band) : canvas_(canvas), band_(band) {}

  std::vector<Point> of(std::size_t line) {
    const DynamicLine& stretches = canvas_.picture.plan.dynamics[line];
    if (stretches.empty()) {
      follow_notes(line);
    } else {
      follow(stretches, Ceiling(stretches, canvas_.picture.plan.tuning()));
    }
    return std::move(points_);
  }

 private:
  void add(Beats at, Decibels level) {
    points_.push_back({canvas_.axis.x_at(at), height_of_level(canvas_, band_, level)});
  }

  void follow(const DynamicLine& stretches, const Ceiling& ceiling) {
    const Span span = canvas_.span;
    add(span.begin, ceiling.at(span.begin));
    for (const DynamicStretch& stretch : stretches) {
      if (stretch.from >= span.end) break;
      for (const Beats at : {stretch.from, stretch.to}) {
        if (at <= span.begin || at >= span.end) continue;
        add(at, ceiling.at(at - kJustBefore));
        add(at, ceiling.at(at));
      }
    }
    add(span.end, ceiling.at(span.end - kJustBefore));
  }

  // Without written dynamics: the loudest note of each moment, until the next.
  void follow_notes(std::size_t line) {
    const Picture& picture = canvas_.picture;
    std::optional<Decibels> held;
    Beats last{-1.0};
    for (std::size_t i = 0; i < picture.score.notes.size(); ++i) {
      const Note& note = picture.score.notes[i];
      if (note.onset >= canvas_.span.end) break;
      if (picture.plan.parts[note.part].dynamics != line) continue;
      const Decibels level = picture.levels[i].ceiling;
      if (same_moment(note.onset, last)) {
        if (level <= *held) continue;
        if (!points_.empty()) points_.pop_back();
      } else if (held && note.onset > canvas_.span.begin) {
        add(std::max(note.onset, canvas_.span.begin), *held);
      }
      held = level;
      last = note.onset;
      if (note.onset >= canvas_.span.begin) add(note.onset, level);
    }
    if (!held) return;
    add(canvas_.span.end, *held);
    points_.insert(points_.begin(), {canvas_.left(), points_.front().y});
  }

  const Canvas& canvas_;
  Row band_;
  std::vector<Point> points_;
};

void draw_level_scale(Canvas& canvas, Row band) {
  const Scales& scales = canvas.frame.scales;
  const double step = (scales.loudest - scales.softest).value > 20.0 ? 12.0 : 6.0;
  bool first = true;
  for (double level = -step; level > scales.softest.value; level -= step) {
    if (level > scales.loudest.value) continue;
    const Millimetres y = height_of_level(canvas, band, {level});
    canvas.ink.line("beat", {canvas.left() - Millimetres{0.9}, y}, {canvas.left(), y});
    const std::string text = "−" + std::to_string(static_cast<int>(-level)) + (first ? " dB" : "");
    first = false;
    canvas.ink.words(TextKind::kScale,
                     {canvas.left() - Millimetres{1.4}, y + cap_height(TextKind::kScale) / 2.0},
                     text, Anchor::kEnd);
  }
}

}  // namespace

Millimetres height_of_level(const Canvas& canvas, Row band, Decibels level) {
  const Scales& scales = canvas.frame.scales;
  const double down = (scales.loudest - level) / (scales.loudest - scales.softest);
  return band.top + band.height * std::clamp(down, 0.0, 1.0);
}

void draw_dynamics(Canvas& canvas, Row names, Row band) {
  const BoundPlan& plan = canvas.picture.plan;
  const std::size_t main = main_line(plan);
  const std::vector<Point> edge = CeilingEdge(canvas, band).of(main);
  if (edge.size() >= 2) {
    std::vector<Point> area = edge;
    area.push_back({edge.back().x, band.bottom()});
    area.push_back({edge.front().x, band.bottom()});
    canvas.ink.path("ceiling", area, true);
  }
  for (std::size_t line = 0; line < plan.dynamics.size(); ++line) {
    const bool is_used = std::ranges::any_of(
        plan.parts, [&](const BoundPart& part) { return part.dynamics == line; });
    if (line == main || !is_used || plan.dynamics[line].empty()) continue;
    canvas.ink.path("other-ceiling", CeilingEdge(canvas, band).of(line));
  }
  canvas.ink.path("ceiling-line", edge);
  draw_level_scale(canvas, band);
  draw_dynamic_names(canvas, names);
}

void draw_dynamic_names(Canvas& canvas, Row names) {
  const BoundPlan& plan = canvas.picture.plan;
  Names(canvas, names).draw(plan.dynamics[main_line(plan)]);
}

}  // namespace arsis
