#include "page/systems.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace arsis {
namespace {

// Our choice, by looking: what makes a system comfortable to read.
constexpr Millimetres kMotifWidth{26.0};  // of the usual motif
constexpr Millimetres kNoteWidth{2.6};    // of the quick notes of the melody
constexpr double kQuick = 0.1;            // share of the melody's notes that are quicker
constexpr double kWidest = 1.8;           // ratio: how much a scale may grow to fill the lines
constexpr double kTighter = 1.06;  // ratio: a line longer than that to the usual one is set tighter
constexpr double kCutSentence = 0.6;     // cost of a line that begins within a sentence
constexpr std::size_t kMostInLine = 64;  // phrases; keeps the work linear
constexpr double kTolerance = 1e-9;      // ratio: what rounding may leave over

// What a line may not cut: a phrase, or a bar without one.
struct Unit {
  Span span;
  bool opens = true;  // begins a sentence, or lies outside of all
};

const Block* block_at(const std::vector<Block>& blocks, Beats at) {
  const auto next =
      std::ranges::upper_bound(blocks, at, {}, [](const Block& block) { return block.span.begin; });
  if (next == blocks.begin()) return nullptr;
  const Block& block = *std::prev(next);
  return block.span.holds(at) ? &block : nullptr;
}

class Units {
 public:
  Units(const Picture& picture, Span span) : picture_(picture), span_(span) {}

  std::vector<Unit> make() {
    cursor_ = span_.begin;
    for (const Block& phrase : picture_.plan.phrases) {
      const Span span = {std::max(phrase.span.begin, span_.begin),
                         std::min(phrase.span.end, span_.end)};
      if (span.end - span.begin < kSameMoment) continue;
      add_bars(span.begin);
      const Block* sentence = block_at(picture_.plan.sentences, phrase.span.begin);
      add({span, sentence == nullptr || same_moment(sentence->span.begin, phrase.span.begin)});
    }
    add_bars(span_.end);
    return std::move(units_);
  }

 private:
  // What lies between the phrases, bar by bar; less than half a bar goes with what is beside it.
  void add_bars(Beats end) {
    while (end - cursor_ > kSameMoment) {
      const Bar& bar = picture_.score.bars.at(cursor_);
      const Beats stop = bar.span.end > cursor_ + kSameMoment ? std::min(bar.span.end, end) : end;
      const bool is_short = (stop - cursor_) * 2.0 < bar.span.length();
      if (is_short && !units_.empty()) {
        units_.back().span.end = stop;
        cursor_ = stop;
      } else if (is_short && stop == end && end < span_.end) {
        return;  // the unit that comes takes it
      } else {
        add({{cursor_, stop}, true});
      }
    }
  }

  void add(Unit unit) {
    unit.span.begin = cursor_;
    cursor_ = unit.span.end;
    units_.push_back(unit);
  }

  const Picture& picture_;
  Span span_;
  Beats cursor_;
  std::vector<Unit> units_;
};

// The value that the given share of them does not reach; they are not empty.
Beats quantile(std::vector<Beats> values, double share) {
  const auto place = static_cast<std::ptrdiff_t>(static_cast<double>(values.size() - 1) * share);
  std::ranges::nth_element(values, values.begin() + place);
  return values[static_cast<std::size_t>(place)];
}

// How long the melody's notes last until the next.
std::vector<Beats> intervals(const Picture& picture, Span span) {
  std::vector<Beats> lengths;
  const std::vector<Note>& notes = picture.score.notes;
  Beats last{-1.0};
  const auto add = [&](const Note& note) {
    if (!span.holds(note.onset)) return;
    if (last.value >= 0.0 && note.onset - last > kSameMoment) lengths.push_back(note.onset - last);
    last = note.onset;
  };
  if (picture.plan.melody.empty()) {
    for (const Note& note : notes) add(note);
  } else {
    for (const std::size_t place : picture.plan.melody) add(notes[place]);
  }
  return lengths;
}

// Millimetres for a quarter note at which the passage reads well.
Millimetres comfortable_scale(const Picture& picture, Span span, std::span<const Unit> units,
                              Millimetres room) {
  std::vector<Beats> motifs;
  for (const Block& motif : picture.plan.motifs) {
    if (span.holds(motif.span.begin)) motifs.push_back(motif.span.length());
  }
  if (motifs.empty()) {
    for (const Unit& unit : units) motifs.push_back(unit.span.length());
  }
  Millimetres scale = kMotifWidth / quantile(std::move(motifs), 0.5).value;
  if (std::vector<Beats> lengths = intervals(picture, span); !lengths.empty()) {
    scale = std::max(scale, kNoteWidth / quantile(std::move(lengths), kQuick).value);
  }
  std::vector<Beats> phrases;
  for (const Unit& unit : units) phrases.push_back(unit.span.length());
  return std::min(scale, room / quantile(std::move(phrases), 0.75).value);
}

// The lines of least cost, by where each begins: how much of each stays empty, squared, and what it
// costs to cut a sentence. The last line may be short.
std::vector<std::size_t> line_starts(std::span<const Unit> units, Beats capacity) {
  const std::size_t count = units.size();
  std::vector<double> cost(count + 1, std::numeric_limits<double>::infinity());
  std::vector<std::size_t> from(count + 1, 0);
  cost[0] = 0.0;
  for (std::size_t end = 1; end <= count; ++end) {
    for (std::size_t size = 1; size <= std::min(end, kMostInLine); ++size) {
      const std::size_t begin = end - size;
      const double filled = (units[end - 1].span.end - units[begin].span.begin) / capacity;
      if (size > 1 && filled > 1.0 + kTolerance) break;
      const double empty = end == count ? 0.0 : std::max(1.0 - filled, 0.0);
      const double total =
          cost[begin] + empty * empty + (units[begin].opens || begin == 0 ? 0.0 : kCutSentence);
      if (total < cost[end]) {
        cost[end] = total;
        from[end] = begin;
      }
    }
  }
  std::vector<std::size_t> starts;
  for (std::size_t end = count; end > 0; end = from[end]) starts.push_back(from[end]);
  std::ranges::reverse(starts);
  return starts;
}

// The scale of all lines but the few that are too long for it: the usual line fills the room.
Millimetres common_scale(const std::vector<System>& systems, Millimetres scale, Millimetres room) {
  std::vector<Beats> lengths;
  for (const System& system : systems) lengths.push_back(system.span.length());
  const Beats usual = quantile(lengths, 0.5) * kTighter;
  Beats longest;
  for (const Beats length : lengths) {
    if (length <= usual) longest = std::max(longest, length);
  }
  return std::min(room / longest.value, scale * kWidest);
}

}  // namespace

Span drawn_span(const Picture& picture, Span passage) {
  Beats end = picture.score.end();
  if (!picture.plan.phrases.empty()) end = std::max(end, picture.plan.phrases.back().span.end);
  // A block may end after its last note: who draws to the end draws all of it.
  if (passage.end < picture.score.end()) end = passage.end;
  const Beats begin = std::max(passage.begin, Beats{0.0});
  return {begin, std::max(end, begin)};
}

std::vector<System> systems_of(const Picture& picture, Span passage, Millimetres room) {
  const Span span = drawn_span(picture, passage);
  if (span.length() <= kSameMoment) return {};
  const std::vector<Unit> units = Units(picture, span).make();
  const Millimetres scale = comfortable_scale(picture, span, units, room);
  const std::vector<std::size_t> starts = line_starts(units, {room / scale});
  std::vector<System> systems;
  for (std::size_t i = 0; i < starts.size(); ++i) {
    const std::size_t end = i + 1 < starts.size() ? starts[i + 1] : units.size();
    systems.push_back({{units[starts[i]].span.begin, units[end - 1].span.end}, {}});
  }
  const Millimetres common = common_scale(systems, scale, room);
  for (System& system : systems) {
    system.width = std::min(common * system.span.length().value, room);
  }
  return systems;
}

}  // namespace arsis
