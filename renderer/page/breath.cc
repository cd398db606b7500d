// The breath curves: each block's arc, over its stretch of the line, its goal on top.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>

#include "page/canvas.h"
#include "shape/arc.h"

namespace arsis {
namespace {

// Heights in millimetres before they are stretched; the feet's row is not.
constexpr double kSentenceLane = 6.2;
constexpr double kPhraseLane = 5.2;
constexpr double kMotifLane = 3.8;
constexpr Millimetres kHeadroom{1.2};  // over the highest curve, for its goal
constexpr Millimetres kBetween{1.3};   // from one lane to the next
constexpr Millimetres kFeet{4.0};
constexpr Millimetres kBesideGoal{1.0};  // from a goal to its block's name
constexpr Millimetres kFootWidth{1.1};   // half of it

struct Lane {
  Level level;
  Row row;
  TextKind name;
  Millimetres goal;  // radius
};

std::array<Lane, 3> lanes_of(const Canvas& canvas, Millimetres top) {
  const Row sentence{top + kHeadroom, canvas.tall(kSentenceLane)};
  const Row phrase{sentence.bottom() + kBetween, canvas.tall(kPhraseLane)};
  const Row motif{phrase.bottom() + kBetween, canvas.tall(kMotifLane)};
  return {{{Level::kSentence, sentence, TextKind::kSentenceName, {0.75}},
           {Level::kPhrase, phrase, TextKind::kPhraseName, {0.65}},
           {Level::kMotif, motif, TextKind::kMotifName, {0.45}}}};
}

class Breath {
 public:
  Breath(Canvas& canvas, Row row, Row field)
      : canvas_(canvas), plan_(canvas.picture.plan), row_(row), field_(field) {}

  void draw() {
    for (const Lane& lane : lanes_of(canvas_, row_.top)) {
      const std::vector<Block>& blocks = plan_.level(lane.level);
      auto block = std::ranges::lower_bound(blocks, canvas_.span.begin + kSameMoment, {},
                                            [](const Block& each) { return each.span.end; });
      for (; block != blocks.end() && block->span.begin < canvas_.span.end - kSameMoment; ++block) {
        draw(lane, *block, static_cast<std::size_t>(block - blocks.begin()));
      }
    }
  }

 private:
  void draw(const Lane& lane, const Block& block, std::size_t index) {
    const std::string name = block_name(plan_, lane.level, index);
    canvas_.ink.open_group(
        fmt::format("block {}{}", name_of(lane.level), block.is_main ? " main" : ""), name);
    canvas_.ink.describe(words_of(lane, block, name));
    const Span shown = {std::max(block.span.begin, canvas_.span.begin),
                        std::min(block.span.end, canvas_.span.end)};
    draw_touch(lane, shown);
    draw_curve(lane, block, shown);
    draw_divider(lane, block);
    if (shows_goal(block)) draw_goal(lane, block, name);
    canvas_.ink.close_group();
  }

  std::string words_of(const Lane& lane, const Block& block, const std::string& name) const {
    const Bars& bars = canvas_.picture.score.bars;
    return fmt::format(
        "{} {}{}, from {} to {}, goal {}", name_of(lane.level), name,
        block.is_main ? ", leads" : "", to_string(bars.position_of(block.span.begin)),
        to_string(bars.position_of(block.span.end)), to_string(bars.position_of(block.goal)));
  }

  // The lane above the block, with the feet for a motif.
  void draw_touch(const Lane& lane, Span shown) {
    const Millimetres left = canvas_.axis.x_at(shown.begin);
    const Millimetres feet = lane.level == Level::kMotif ? kFeet : Millimetres{};
    canvas_.ink.box(
        "touch",
        {{left, lane.row.top}, canvas_.axis.x_at(shown.end) - left, lane.row.height + feet});
  }

  Point top_of(const Lane& lane, const Block& block, Beats at) const {
    const double share = std::min(canvas_.picture.layers.scale(lane.level), 1.0);
    const double height = share * arc(at, block.span, block.goal);
    return {canvas_.axis.x_at(at), lane.row.bottom() - lane.row.height * height};
  }

  // Exact where the axis is straight: a flank of the arc is a curve of the second order there. The
  // notes of an engraved staff stand unevenly, which would dent the curve: it goes evenly from its
  // beginning to its goal, and from there to its end.
  void draw_curve(const Lane& lane, const Block& block, Span shown) {
    std::vector<Beats> joints = {shown.begin};
    const bool turns =
        block.goal > shown.begin + kSameMoment && block.goal < shown.end - kSameMoment;
    if (turns) joints.push_back(block.goal);
    joints.push_back(shown.end);
    std::string data;
    add_move(data, top_of(lane, block, shown.begin));
    for (std::size_t i = 1; i < joints.size(); ++i) {
      const Point from = top_of(lane, block, joints[i - 1]);
      const Point to = top_of(lane, block, joints[i]);
      const Point middle = top_of(lane, block, joints[i - 1] + (joints[i] - joints[i - 1]) / 2.0);
      add_curve(data, {(from.x + to.x) / 2.0, middle.y * 2.0 - (from.y + to.y) / 2.0}, to);
    }
    canvas_.ink.path_data("curve", data);
  }

  // As scansion divides feet: a stroke after each, a longer one after a line, two after a stanza.
  void draw_divider(const Lane& lane, const Block& block) {
    if (block.span.end > canvas_.span.end + kSameMoment) return;
    if (ends_with_parent(lane.level, block)) return;
    const Millimetres x = canvas_.axis.x_at(block.span.end);
    const Millimetres bottom = row_.bottom() - Millimetres{0.4};
    const std::array<Millimetres, 3> tops = {bottom - kFeet + Millimetres{0.8},
                                             lane.row.bottom() - lane.row.height * 0.4,
                                             lane.row.bottom() - lane.row.height * 0.5};
    const Millimetres top = tops[index_of(lane.level)];
    if (lane.level == Level::kSentence) {
      canvas_.ink.line("divider", {x - Millimetres{0.8}, top}, {x - Millimetres{0.8}, bottom});
    }
    canvas_.ink.line("divider", {x, top}, {x, bottom});
  }

  bool ends_with_parent(Level level, const Block& block) const {
    if (level == Level::kSentence) return false;
    const Level above = level == Level::kMotif ? Level::kPhrase : Level::kSentence;
    return same_moment(plan_.level(above)[block.parent].span.end, block.span.end);
  }

  // Whether a phrase begins with its goal there.
  bool leads_off(Beats at) const {
    return std::ranges::any_of(plan_.phrases, [&](const Block& phrase) {
      return same_moment(phrase.span.begin, at) && same_moment(phrase.goal, at);
    });
  }

  // A goal on the edge of two systems belongs to the phrase that ends there, unless it is the
  // beginning of the next.
  bool shows_goal(const Block& block) const {
    const Span span = canvas_.span;
    if (same_moment(block.goal, span.end)) return !leads_off(block.goal);
    const bool is_cut = block.span.begin < span.begin - kSameMoment;
    if (is_cut && same_moment(block.goal, span.begin)) return leads_off(block.goal);
    return span.begin - kSameMoment <= block.goal && block.goal <= span.end;
  }

  void draw_goal(const Lane& lane, const Block& block, const std::string& name) {
    const Point goal = top_of(lane, block, block.goal);
    canvas_.ink.circle("goal", goal, lane.goal);
    if (lane.level == Level::kMotif) {
      draw_foot(block, goal.x);
      draw_drop(block, goal.x);
      draw_name(lane, block, {goal.x, row_.bottom() - Millimetres{1.1}}, name);
      return;
    }
    canvas_.ink.line("drop", goal, {goal.x, row_.bottom() - kFeet});
    // Under the curve; over it where it is too flat.
    const Millimetres needed = cap_height(lane.name) + Millimetres{0.5};
    const bool fits = lane.row.bottom() - goal.y >= needed;
    const Millimetres base =
        fits ? lane.row.bottom() - Millimetres{0.3} : goal.y - Millimetres{0.7};
    draw_name(lane, block, {goal.x, base}, name);
  }

  // Beside the goal, under the curve: before it where there is room, else after it, else nowhere.
  void draw_name(const Lane& lane, const Block& block, Point at, const std::string& name) {
    const Millimetres room = text_width(name, lane.name) + kBesideGoal * 2.0;
    const Millimetres begin = canvas_.axis.x_at(block.span.begin);
    const Millimetres end = canvas_.axis.x_at(block.span.end);
    const Millimetres aside = lane.level == Level::kMotif ? kFootWidth + kBesideGoal : kBesideGoal;
    if (at.x - begin > room + aside) {
      canvas_.ink.words(lane.name, {at.x - aside, at.y}, name, Anchor::kEnd);
    } else if (end - at.x > room + aside) {
      canvas_.ink.words(lane.name, {at.x + aside, at.y}, name);
    }
  }

  // u or /, as the plan's feet have them.
  void draw_foot(const Block& block, Millimetres x) {
    const Millimetres bottom = row_.bottom() - Millimetres{0.9};
    std::string data;
    if (block.is_main) {
      add_move(data, {x - Millimetres{0.7}, bottom});
      add_line(data, {x + Millimetres{0.7}, bottom - Millimetres{2.7}});
    } else {
      const Millimetres half = kFootWidth;
      const Millimetres top = bottom - Millimetres{1.5};
      add_move(data, {x - half, top});
      add_curve(data, {x - half, bottom}, {x, bottom});
      add_curve(data, {x + half, bottom}, {x + half, top});
    }
    canvas_.ink.path_data("foot", data);
  }

  // Down to the note that the motif leads to; nowhere where a field drawn by others has it.
  void draw_drop(const Block& block, Millimetres x) {
    const std::vector<Note>& notes = canvas_.picture.score.notes;
    const auto note =
        std::ranges::lower_bound(plan_.melody, block.goal - kSameMoment, {},
                                 [&](std::size_t place) { return notes[place].onset; });
    if (note == plan_.melody.end() || !same_moment(notes[*note].onset, block.goal)) return;
    const auto middle = height_of(*note);
    if (!middle) return;
    const Millimetres y = *middle - Millimetres{0.9};
    canvas_.ink.line("drop", {x, row_.bottom()}, {x, std::max(y, row_.bottom())});
  }

  // Of a note's middle; none where the field has it not.
  std::optional<Millimetres> height_of(std::size_t note) const {
    if (canvas_.field == nullptr) {
      return height_of_key(canvas_, field_, canvas_.picture.score.notes[note].key);
    }
    const auto& heads = canvas_.field->heads;
    const auto head = std::ranges::lower_bound(heads, note, {}, &FieldHead::note);
    if (head == heads.end() || head->note != note) return std::nullopt;
    return field_.top + head->y;
  }

  Canvas& canvas_;
  const BoundPlan& plan_;
  Row row_;
  Row field_;
};

}  // namespace

Millimetres breath_height(const Canvas& canvas) {
  return lanes_of(canvas, {}).back().row.bottom() + kFeet;
}

void draw_breath(Canvas& canvas, Row row, Row field) { Breath(canvas, row, field).draw(); }

}  // namespace arsis
