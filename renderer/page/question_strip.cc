#include "page/question_strip.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "page/canvas.h"
#include "page/systems.h"

namespace arsis {
namespace {

// Our choice, by looking.
constexpr Millimetres kStripMargin{
    11.5};  // left of the music, for the time signature and the clefs
constexpr Millimetres kStripLetters{5.2};
constexpr Millimetres kOverStripNotes{1.6};
constexpr Millimetres kStripNotes{18.0};
constexpr Millimetres kStripNumbers{3.4};
constexpr Millimetres kStripNames{4.4};
constexpr Millimetres kReachInset{0.7};  // of a stretch's line at each of its ends
constexpr Millimetres kReachHook{1.2};

// The way of the notes: straight, or as a field has it, which hangs in the margin.
Axis strip_axis(const System& system, const NoteField* field) {
  if (field == nullptr) return Axis::straight(system.span, kStripMargin, system.width);
  std::vector<Waypoint> ways = field->waypoints;
  for (Waypoint& way : ways) way.x += kStripMargin - field->hang;
  return Axis(std::move(ways));
}

class Strip {
 public:
  Strip(const Picture& picture, const System& system, const Frame& frame, const NoteField* field)
      : canvas_{picture, frame, system.span, strip_axis(system, field), {}, field} {}

  DrawnSystem draw(std::span<const StripLabel> labels) {
    const Row letters{{}, labels.empty() ? Millimetres{} : kStripLetters};
    const Row notes{letters.bottom() + kOverStripNotes,
                    canvas_.field ? canvas_.field->height : kStripNotes};
    const Row numbers{notes.bottom(), kStripNumbers};
    const bool has_names = std::ranges::any_of(
        canvas_.picture.plan.dynamics, [](const DynamicLine& line) { return !line.empty(); });
    const Row names{numbers.bottom(), has_names ? kStripNames : Millimetres{}};
    draw_bars(canvas_, notes, numbers, {names.bottom(), {}});
    if (canvas_.field != nullptr) {
      canvas_.ink.place({kStripMargin - canvas_.field->hang, notes.top}, canvas_.field->svg);
    } else {
      draw_notes(canvas_, notes);
      draw_signs(canvas_, notes);
    }
    if (has_names) draw_dynamic_names(canvas_, names);
    for (const StripLabel& label : labels) draw_label(label, letters, notes);
    DrawnSystem drawn;
    drawn.span = canvas_.span;
    drawn.width = canvas_.frame.width;
    drawn.height = names.bottom() + Millimetres{0.6};
    drawn.waypoints.assign(canvas_.axis.waypoints().begin(), canvas_.axis.waypoints().end());
    drawn.svg = svg_of(canvas_.ink.take(), drawn.width, drawn.height, false);
    return drawn;
  }

 private:
  void draw_label(const StripLabel& label, Row letters, Row notes) {
    const Beats begin = std::max(label.span.begin, canvas_.span.begin);
    const Beats end = std::min(label.span.end, canvas_.span.end);
    if (begin > end) return;
    const bool is_moment = same_moment(label.span.begin, label.span.end);
    if (!is_moment && end - begin < kSameMoment) return;
    const Millimetres left = canvas_.axis.x_at(begin) + (is_moment ? Millimetres{} : kReachInset);
    const Millimetres right = canvas_.axis.x_at(end) - (is_moment ? Millimetres{} : kReachInset);
    const Millimetres y = letters.bottom() - Millimetres{0.2};
    if (is_moment) {
      canvas_.ink.line("reach", {left, y}, {left, notes.bottom()});
    } else {
      const std::vector<Point> bracket = {
          {left, y + kReachHook}, {left, y}, {right, y}, {right, y + kReachHook}};
      canvas_.ink.path("reach", bracket);
    }
    canvas_.ink.words(TextKind::kAsk, {(left + right) / 2.0, y - Millimetres{1.1}}, label.letter,
                      Anchor::kMiddle);
  }

  Canvas canvas_;
};

}  // namespace

std::vector<System> strip_systems(const Picture& picture, Span passage, Millimetres width) {
  const Span span = drawn_span(picture, passage);
  const auto notes = std::ranges::count_if(picture.score.notes, [&](const Note& note) {
    return note.onset < span.end && note.end > span.begin;
  });
  if (notes == 0 || static_cast<std::size_t>(notes) > kMostStripNotes) return {};
  std::vector<System> systems = systems_of(picture, passage, strip_room(width));
  if (systems.size() > kMostStrips) return {};
  return systems;
}

std::vector<DrawnSystem> draw_strips(const Picture& picture, Span passage,
                                     std::span<const StripLabel> labels, Millimetres width,
                                     const FieldSource& fields) {
  const std::vector<System> systems = strip_systems(picture, passage, width);
  if (systems.empty()) return {};
  Frame frame;
  frame.width = width;
  frame.scales = scales_of(picture, passage);
  std::vector<std::optional<NoteField>> drawn_fields;
  if (fields) drawn_fields = fields(systems, strip_room(width));
  drawn_fields.resize(systems.size());
  std::vector<DrawnSystem> strips;
  for (std::size_t i = 0; i < systems.size(); ++i) {
    const NoteField* field = drawn_fields[i] ? &*drawn_fields[i] : nullptr;
    strips.push_back(Strip(picture, systems[i], frame, field).draw(labels));
  }
  return strips;
}

Millimetres strip_room(Millimetres width) {
  Frame frame;
  frame.width = width;
  return room_in(frame);
}

}  // namespace arsis
