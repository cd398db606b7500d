// What is printed over single notes: accents, lengths, fermatas, breaths; as small signs beside the
// notes' heads, over the melody and under what accompanies it.
#include <algorithm>
#include <array>
#include <map>
#include <utility>

#include "page/canvas.h"

namespace arsis {
namespace {

constexpr Millimetres kHalf{0.85};  // of a sign's width
constexpr Millimetres kAway{1.9};   // from a head's middle to the first sign's
constexpr Millimetres kApart{1.1};  // from one sign to the next
constexpr Millimetres kBreathRise{1.2};

void add_dash(std::string& data, Point from, Point to) {
  add_move(data, from);
  add_line(data, to);
}

void add_accent(std::string& data, Point at) {
  add_move(data, {at.x - kHalf, at.y - kHalf * 0.5});
  add_line(data, {at.x + kHalf, at.y});
  add_line(data, {at.x - kHalf, at.y + kHalf * 0.5});
}

void add_marcato(std::string& data, Point at) {
  add_move(data, {at.x - kHalf * 0.6, at.y + kHalf * 0.6});
  add_line(data, {at.x, at.y - kHalf * 0.6});
  add_line(data, {at.x + kHalf * 0.6, at.y + kHalf * 0.6});
}

void add_fermata(std::string& data, Point at) {
  add_move(data, {at.x - kHalf * 1.3, at.y + kHalf * 0.5});
  add_curve(data, {at.x, at.y - kHalf * 1.9}, {at.x + kHalf * 1.3, at.y + kHalf * 0.5});
}

// The notes of one part at one moment: where their signs begin, and which.
struct Chord {
  Point at;
  MarkSet marks;
  bool above = true;
};

class Signs {
 public:
  Signs(Canvas& canvas, Row row) : canvas_(canvas), row_(row) {}

  void draw() {
    const Picture& picture = canvas_.picture;
    const std::vector<Note>& notes = picture.score.notes;
    const auto first = std::ranges::lower_bound(notes, canvas_.span.begin, {}, &Note::onset);
    std::map<std::pair<double, int>, Chord> chords;  // by onset and part: the order of drawing
    for (auto note = first; note != notes.end() && note->onset < canvas_.span.end; ++note) {
      const MarkSet marks = picture.plan.marks_of(static_cast<std::size_t>(note - notes.begin()));
      if (!marks.empty() && is_pitched(picture.score.parts[note->part])) meet(chords, *note, marks);
    }
    for (auto& [key, chord] : chords) {
      if (!chord.above) drop_common(chords, key.first, chord);
      draw(chord);
    }
    draw_breaths();
    canvas_.ink.path_data("sign", lines_);
    canvas_.ink.path_data("sign dot", dots_);
  }

 private:
  void meet(std::map<std::pair<double, int>, Chord>& chords, const Note& note, MarkSet marks) {
    const Point at = {canvas_.axis.x_at(note.onset), height_of_key(canvas_, row_, note.key)};
    const bool above = canvas_.picture.plan.parts[note.part].role == Role::kMelody;
    const auto [place, is_new] =
        chords.try_emplace({note.onset.value, note.part}, Chord{at, marks, above});
    if (is_new) return;
    Chord& chord = place->second;
    chord.at.y = above ? std::min(chord.at.y, at.y) : std::max(chord.at.y, at.y);
    chord.marks.add(marks);
  }

  // What the melody has at the same moment is printed once, over it.
  void drop_common(const std::map<std::pair<double, int>, Chord>& chords, double onset,
                   Chord& chord) const {
    for (auto each = chords.lower_bound({onset, 0}); each != chords.end(); ++each) {
      if (each->first.first > onset) return;
      if (!each->second.above) continue;
      for (const Mark mark : {Mark::kFermata, Mark::kSforzato, Mark::kFortePiano}) {
        if (each->second.marks.has(mark)) chord.marks.remove(mark);
      }
    }
  }

  // The nearest to the head first.
  void draw(const Chord& chord) {
    using enum Mark;
    constexpr std::array<Mark, 9> kOrder = {kStaccato,      kPortato,    kTenuto,
                                            kStaccatissimo, kAccent,     kMarcato,
                                            kSforzato,      kFortePiano, kFermata};
    const Millimetres step = chord.above ? -kApart : kApart;
    Point at = {chord.at.x, chord.at.y + (chord.above ? -kAway : kAway)};
    for (const Mark mark : kOrder) {
      if (!chord.marks.has(mark)) continue;
      at.y = std::clamp(at.y, row_.top - kApart, row_.bottom());
      draw(mark, at);
      at.y += step;
    }
  }

  void draw(Mark mark, Point at) {
    const auto dot = [&](Millimetres y) { add_dash(dots_, {at.x, y}, {at.x, y}); };
    const auto bar = [&] { add_dash(lines_, {at.x - kHalf, at.y}, {at.x + kHalf, at.y}); };
    using enum Mark;
    if (mark == kStaccato || mark == kPortato)
      dot(at.y + (mark == kPortato ? kApart * 0.5 : Millimetres{}));
    if (mark == kTenuto || mark == kPortato) bar();
    if (mark == kStaccatissimo) {
      add_dash(lines_, {at.x, at.y - kHalf * 0.6}, {at.x, at.y + kHalf * 0.6});
    }
    if (mark == kSforzato || mark == kFortePiano) {
      draw_word(mark_name(mark), at);
    }
    if (mark == kAccent) add_accent(lines_, at);
    if (mark == kMarcato) add_marcato(lines_, at);
    if (mark == kFermata) {
      add_fermata(lines_, at);
      dot(at.y + kHalf * 0.3);
    }
  }

  // Beside the note, where neither bar line nor goal strikes it through.
  void draw_word(std::string_view word, Point at) {
    const Millimetres base = at.y + cap_height(TextKind::kSign) / 2.0;
    const Millimetres aside = kHalf * 0.7;
    const bool fits = at.x + aside + text_width(word, TextKind::kSign) <= canvas_.right();
    canvas_.ink.words(TextKind::kSign, {fits ? at.x + aside : at.x - aside, base}, word,
                      fits ? Anchor::kStart : Anchor::kEnd);
  }

  // Commas over the notes' row.
  void draw_breaths() {
    for (const BreathMark& breath : canvas_.picture.plan.breaths) {
      if (breath.at <= canvas_.span.begin || breath.at > canvas_.span.end) continue;
      const Millimetres x = canvas_.axis.x_at(breath.at) - kHalf;
      add_move(lines_, {x, row_.top - kBreathRise * 0.5});
      add_curve(lines_, {x + kHalf * 0.6, row_.top},
                {x - kHalf * 0.4, row_.top + kBreathRise * 0.5});
    }
  }

  Canvas& canvas_;
  Row row_;
  std::string lines_;
  std::string dots_;
};

}  // namespace

void draw_signs(Canvas& canvas, Row row) { Signs(canvas, row).draw(); }

}  // namespace arsis
