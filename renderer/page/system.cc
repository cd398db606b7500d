#include "page/system.h"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "page/canvas.h"

namespace arsis {
namespace {

// Our choice, by looking. Heights are stretched by the frame, but for those of words.
constexpr Millimetres kMargin{11.5};  // left of the music, for scales and the time signature
constexpr Millimetres kRight{2.0};    // right of it, for what stands on the last bar line
constexpr Millimetres kOverNotes{2.4};
constexpr double kNotes = 18.0;
constexpr Millimetres kNumbers{3.4};
constexpr Millimetres kNames{4.4};
constexpr double kBand = 12.0;
constexpr Millimetres kOverTempo{3.4};  // the tempo's number stands there
constexpr double kTempo = 5.5;
constexpr Millimetres kUnder{0.9};
constexpr Millimetres kOverRemarks{0.8};
constexpr Millimetres kBetweenColumns{6.0};
constexpr Millimetres kColumn{75.0};  // as wide at least, where words stand in two columns

// The waypoints of a straight axis that a cursor can follow: bar lines, beside the ends.
std::vector<Waypoint> straight_waypoints(const Picture& picture, const System& system) {
  const Axis axis = Axis::straight(system.span, kMargin, system.width);
  std::vector<Waypoint> waypoints = {{system.span.begin, axis.left()}};
  const auto bars = picture.score.bars.all();
  auto bar = std::ranges::upper_bound(bars, system.span.begin + kSameMoment, {},
                                      [](const Bar& each) { return each.span.begin; });
  for (; bar != bars.end() && bar->span.begin < system.span.end - kSameMoment; ++bar) {
    waypoints.push_back({bar->span.begin, axis.x_at(bar->span.begin)});
  }
  waypoints.push_back({system.span.end, axis.right()});
  return waypoints;
}

std::vector<Waypoint> shifted(const NoteField& field) {
  std::vector<Waypoint> waypoints = field.waypoints;
  for (Waypoint& waypoint : waypoints) waypoint.x += kMargin - field.hang;
  return waypoints;
}

// The words as lines of at most that width; a word that is longer alone is cut.
std::vector<std::string> wrapped(std::string_view text, Millimetres width) {
  std::vector<std::string> lines = {""};
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string_view word = text.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    const std::string longer =
        fmt::format("{}{}{}", lines.back(), lines.back().empty() ? "" : " ", word);
    if (lines.back().empty() || text_width(longer, TextKind::kRemark) <= width) {
      lines.back() = fitted(longer, TextKind::kRemark, width);
    } else {
      lines.push_back(fitted(word, TextKind::kRemark, width));
    }
  }
  return lines;
}

struct RemarkLine {
  std::string name;  // of the block, on its first line
  std::string words;
};

// What is said about blocks that begin in the system.
std::vector<RemarkLine> remark_lines(const Picture& picture, Span span, Millimetres width) {
  std::vector<RemarkLine> lines;
  const auto begin_of = [&](const Remark& remark) {
    return picture.plan.level(remark.level)[remark.index].span.begin;
  };
  auto remark = std::ranges::lower_bound(picture.remarks, span.begin, {}, begin_of);
  for (; remark != picture.remarks.end() && span.holds(begin_of(*remark)); ++remark) {
    std::string name = block_name(picture.plan, remark->level, remark->index);
    for (std::string& line : wrapped(remark->words, width)) {
      lines.push_back({std::move(name), std::move(line)});
      name.clear();
    }
  }
  return lines;
}

class SystemDrawing {
 public:
  SystemDrawing(const Picture& picture, const System& system, const Frame& frame,
                const NoteField* field)
      : canvas_{picture,     frame,
                system.span, Axis(field ? shifted(*field) : straight_waypoints(picture, system)),
                {},          field},
        field_(field) {
    place_rows();
  }

  Millimetres height() const { return bottom_; }

  DrawnSystem draw() {
    draw_dynamics(canvas_, names_, band_);
    draw_bars(canvas_, notes_, numbers_, {band_.top, tempo_.bottom() - band_.top});
    if (field_ != nullptr) {
      canvas_.ink.place({kMargin - field_->hang, notes_.top}, field_->svg);
    } else {
      draw_notes(canvas_, notes_);
      draw_signs(canvas_, notes_);
    }
    draw_levels(canvas_, band_);
    draw_tempo(canvas_, tempo_);
    if (!canvas_.picture.plan.sentences.empty()) draw_breath(canvas_, breath_, notes_);
    draw_remarks();
    DrawnSystem drawn;
    drawn.span = canvas_.span;
    drawn.width = canvas_.frame.width;
    drawn.height = bottom_;
    drawn.waypoints.assign(canvas_.axis.waypoints().begin(), canvas_.axis.waypoints().end());
    drawn.svg = svg_of(canvas_.ink.take(), drawn.width, drawn.height, false);
    return drawn;
  }

 private:
  void place_rows() {
    const bool has_blocks = !canvas_.picture.plan.sentences.empty();
    breath_ = {{}, has_blocks ? breath_height(canvas_) : Millimetres{}};
    notes_ = {breath_.bottom() + kOverNotes, field_ ? field_->height : canvas_.tall(kNotes)};
    numbers_ = {notes_.bottom(), kNumbers};
    names_ = {numbers_.bottom(), kNames};
    band_ = {names_.bottom(), canvas_.tall(kBand)};
    tempo_ = {band_.bottom() + kOverTempo, canvas_.tall(kTempo)};
    bottom_ = tempo_.bottom() + kUnder;
    place_remarks();
  }

  // In two columns where they are wide enough; one remark is never in both.
  void place_remarks() {
    const Millimetres room = canvas_.frame.width - kMargin - kRight;
    const Millimetres half = (room - kBetweenColumns) / 2.0;
    const bool two = half >= kColumn;
    const Millimetres names = canvas_.frame.scales.remark_names;
    remarks_ = remark_lines(canvas_.picture, canvas_.span, (two ? half : room) - names);
    in_column_ = two ? (remarks_.size() + 1) / 2 : remarks_.size();
    while (in_column_ < remarks_.size() && remarks_[in_column_].name.empty()) ++in_column_;
    if (remarks_.empty()) return;
    const std::size_t lines = std::max(in_column_, remarks_.size() - in_column_);
    bottom_ += kOverRemarks + leading(TextKind::kRemark) * static_cast<double>(lines);
  }

  void draw_remarks() {
    const Millimetres top = tempo_.bottom() + kUnder + kOverRemarks;
    const Millimetres names = canvas_.frame.scales.remark_names;
    const Millimetres second = (canvas_.frame.width - kMargin - kRight + kBetweenColumns) / 2.0;
    for (std::size_t i = 0; i < remarks_.size(); ++i) {
      const bool first = i < in_column_;
      const Millimetres x = first ? kMargin : kMargin + second;
      const auto line = static_cast<double>((first ? i : i - in_column_) + 1);
      const Millimetres base = top + leading(TextKind::kRemark) * line - Millimetres{0.9};
      if (!remarks_[i].name.empty()) {
        canvas_.ink.words(TextKind::kRemark, {x, base}, remarks_[i].name);
      }
      canvas_.ink.words(TextKind::kRemark, {x + names, base}, remarks_[i].words);
    }
  }

  Canvas canvas_;
  const NoteField* field_;
  Row breath_;
  Row notes_;
  Row numbers_;
  Row names_;
  Row band_;
  Row tempo_;
  std::vector<RemarkLine> remarks_;
  std::size_t in_column_ = 0;  // of them: in the first
  Millimetres bottom_;
};

}  // namespace

Millimetres room_in(const Frame& frame) { return frame.width - kMargin - kRight; }

Millimetres height_of(const Picture& picture, const System& system, const Frame& frame,
                      const NoteField* field) {
  return SystemDrawing(picture, system, frame, field).height();
}

DrawnSystem draw_system(const Picture& picture, const System& system, const Frame& frame,
                        const NoteField* field) {
  return SystemDrawing(picture, system, frame, field).draw();
}

}  // namespace arsis
