// The notes as written, by pitch and time: each a head where it begins and a stroke as long as it
// lasts, among the lines of the two staves.
#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "page/canvas.h"

namespace arsis {
namespace {

constexpr std::array<int, 10> kStaffKeys = {43, 47, 50, 53, 57, 64, 67, 71, 74, 77};  // G2 .. F5
struct NamedKey {
  int key;
  const char* name;
};
// The notes that the two clefs name, and the Cs outside of the staves. Names after Helmholtz.
constexpr std::array<NamedKey, 2> kClefs = {{{67, "g′"}, {53, "f"}}};
constexpr std::array<NamedKey, 7> kOctaves = {
    {{24, "C₁"}, {36, "C"}, {60, "c′"}, {84, "c‴"}, {96, "c⁗"}, {108, "c⁵"}, {120, "c⁶"}}};
constexpr int kMiddleC = 60;  // between the staves: its line needs no name
constexpr Millimetres kDrumRow{3.2};
constexpr Millimetres kGap{0.55};  // from the end of a note's stroke to where the note ends
constexpr Millimetres kLabel{0.9};

// The height that the pitches have of the row.
Millimetres pitch_height(const Canvas& canvas, Row row) {
  return canvas.frame.scales.has_drums ? row.height - kDrumRow : row.height;
}

void draw_lines(Canvas& canvas, Row row) {
  const Scales& scales = canvas.frame.scales;
  const auto is_there = [&](int key) {
    return key >= scales.lowest_key - 1 && key <= scales.highest_key + 1;
  };
  const auto line = [&](std::string_view classes, int key) {
    const Millimetres y = height_of_key(canvas, row, key);
    canvas.ink.line(classes, {canvas.left(), y}, {canvas.right(), y});
  };
  std::vector<Millimetres> labels;
  const auto label = [&](const NamedKey& named) {
    const Millimetres y = height_of_key(canvas, row, named.key);
    const bool is_free = std::ranges::none_of(labels, [&](Millimetres other) {
      return std::abs((other - y).value) < leading(TextKind::kScale).value;
    });
    if (!is_free) return;
    labels.push_back(y);
    canvas.ink.words(TextKind::kScale,
                     {canvas.left() - kLabel, y + cap_height(TextKind::kScale) / 2.0}, named.name,
                     Anchor::kEnd);
  };
  for (const int key : kStaffKeys) {
    if (is_there(key)) line("line", key);
  }
  for (const NamedKey& clef : kClefs) {
    if (is_there(clef.key)) label(clef);
  }
  for (const NamedKey& octave : kOctaves) {
    if (!is_there(octave.key)) continue;
    line("octave", octave.key);
    if (octave.key != kMiddleC) label(octave);
  }
}

// The heads and strokes of one kind of notes.
struct Strokes {
  std::string heads;
  std::string tails;
};

void add_cross(std::string& data, Point at) {
  constexpr Millimetres kArm{0.55};
  add_move(data, {at.x - kArm, at.y - kArm});
  add_line(data, {at.x + kArm, at.y + kArm});
  add_move(data, {at.x - kArm, at.y + kArm});
  add_line(data, {at.x + kArm, at.y - kArm});
}

class Notes {
 public:
  Notes(Canvas& canvas, Row row) : canvas_(canvas), row_(row) {}

  void draw() {
    const std::vector<Note>& notes = canvas_.picture.score.notes;
    for (std::size_t i = 0; i < notes.size() && notes[i].onset < canvas_.span.end; ++i) {
      if (notes[i].end > canvas_.span.begin + kSameMoment) add(i);
    }
    canvas_.ink.path_data("tail", others_.tails);
    canvas_.ink.path_data("head", others_.heads);
    canvas_.ink.path_data("melody tail", melody_.tails);
    canvas_.ink.path_data("melody head", melody_.heads);
    canvas_.ink.path_data("drum", drums_);
  }

 private:
  void add(std::size_t index) {
    const Note& note = canvas_.picture.score.notes[index];
    const bool begins = note.onset >= canvas_.span.begin;
    const Millimetres x = canvas_.axis.x_at(note.onset);
    if (!is_pitched(canvas_.picture.score.parts[note.part])) {
      if (begins) add_cross(drums_, {x, row_.bottom() - kDrumRow / 2.0});
      return;
    }
    const Millimetres y = height_of_key(canvas_, row_, note.key);
    const bool leads = std::ranges::binary_search(canvas_.picture.plan.melody, index);
    Strokes& strokes = leads ? melody_ : others_;
    if (begins) {
      add_move(strokes.heads, {x, y});
      add_line(strokes.heads, {x, y});
    }
    const Millimetres end = canvas_.axis.x_at(note.end) - kGap;
    if (note.grace || end <= x) return;
    add_move(strokes.tails, {x, y});
    add_line(strokes.tails, {end, y});
  }

  Canvas& canvas_;
  Row row_;
  Strokes melody_;
  Strokes others_;
  std::string drums_;
};

}  // namespace

Millimetres height_of_key(const Canvas& canvas, Row row, int key) {
  const Scales& scales = canvas.frame.scales;
  const Millimetres step =
      pitch_height(canvas, row) / static_cast<double>(scales.highest_key - scales.lowest_key + 2);
  return row.top + step * static_cast<double>(scales.highest_key - key + 1);
}

void draw_notes(Canvas& canvas, Row row) {
  if (canvas.frame.scales.has_pitches) draw_lines(canvas, row);
  Notes(canvas, row).draw();
}

}  // namespace arsis
