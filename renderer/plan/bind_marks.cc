// Marks over notes: which notes they are, what a fermata holds, where a written breath falls.
#include <fmt/format.h>

#include <algorithm>

#include "plan/binding_steps.h"

namespace arsis {
namespace {

// Bounds the work of a plan whose marks cover the same notes again and again.
constexpr std::size_t kMostMarkedNotes = 20'000'000;

// Notes with an onset in [from, to].
std::pair<std::size_t, std::size_t> notes_within(const Score& score, Beats from, Beats to) {
  const auto first = std::ranges::lower_bound(score.notes, from, {}, &Note::onset);
  const auto last = std::ranges::upper_bound(score.notes, to, {}, &Note::onset);
  return {static_cast<std::size_t>(first - score.notes.begin()),
          static_cast<std::size_t>(last - score.notes.begin())};
}

class MarkLayer {
 public:
  explicit MarkLayer(Binder& binder) : binder_(binder) {}

  void lay(const MarkPlan& written) {
    const auto parts = binder_.parts_named(written.part, written.place);
    const std::optional<Beats> from = binder_.moment(written.from);
    const std::optional<Beats> to = written.to ? binder_.moment(*written.to, true) : from;
    if (!parts || !from || !to) return;
    if (*to < *from) {
      binder_.text.refuse(written.to->place,
                          fmt::format("the marks end at {}, before they begin at {}",
                                      binder_.at(*to), binder_.at(*from)),
                          "end them later");
      return;
    }
    if (written.mark == Mark::kBreath) {
      if (!take(parts->size(), written.place)) return;
      binder_.bound.breaths.push_back({*from, *parts, {false, written.place}});
      return;
    }
    const auto [first, last] = notes_within(binder_.score, *from, *to);
    if (!take(last - first, written.place)) return;
    const std::size_t count = mark_notes(written.mark, *parts, first, last);
    if (written.mark == Mark::kFermata) hold(*from, *parts, first, last);
    if (count > 0 || written.mark == Mark::kFermata) {
      const auto index = static_cast<std::uint32_t>(&written - binder_.plan.marks.data());
      binder_.bound.mark_sources.push_back(
          {written.mark, false, index, static_cast<std::uint32_t>(count)});
    } else {
      binder_.text.doubt(written.place,
                         written.to ? fmt::format("no note starts between {} and {}",
                                                  binder_.at(*from), binder_.at(*to))
                                    : fmt::format("no note starts at {}", binder_.at(*from)),
                         "the mark is not heard; check its place and part");
    }
  }

 private:
  std::size_t mark_notes(Mark mark, const std::vector<bool>& parts, std::size_t first,
                         std::size_t last) {
    std::size_t count = 0;
    for (std::size_t i = first; i < last; ++i) {
      if (!parts[binder_.score.notes[i].part]) continue;
      binder_.bound.marks[i].add(mark);
      ++count;
    }
    return count;
  }

  // Counts what a mark costs: its notes, or a breath's parts. False where it is too much.
  bool take(std::size_t count, Place place) {
    if ((marked_ += count) <= kMostMarkedNotes) return true;
    if (!complained_) {
      binder_.text.refuse(place, "the marks cover too many notes", "mark each note once");
    }
    complained_ = true;
    return false;
  }

  // The longest note that starts there is held; where none does, one beat of rest.
  void hold(Beats at, const std::vector<bool>& parts, std::size_t first, std::size_t last) {
    Beats end = at;
    for (std::size_t i = first; i < last; ++i) {
      const Note& note = binder_.score.notes[i];
      if (parts[note.part] && note.onset == at) end = std::max(end, note.end);
    }
    if (end == at) end = at + binder_.score.bars.at(at).signature.beat_length();
    binder_.bound.fermatas.push_back({{at, end}});
  }

  Binder& binder_;
  std::size_t marked_ = 0;
  bool complained_ = false;
};

// Fermatas in order; of two that meet the first goes on to the second's end.
void join_fermatas(std::vector<Fermata>& fermatas) {
  std::ranges::sort(fermatas, {}, [](const Fermata& fermata) { return fermata.span.begin; });
  std::vector<Fermata> joined;
  for (const Fermata& fermata : fermatas) {
    if (!joined.empty() && fermata.span.begin < joined.back().span.end) {
      joined.back().span.end = std::max(joined.back().span.end, fermata.span.end);
    } else {
      joined.push_back(fermata);
    }
  }
  fermatas = std::move(joined);
}

// What the page marks and the plan leaves in force.
void take_over_page(Binder& binder) {
  BoundPlan& bound = binder.bound;
  for (const std::uint32_t index : binder.page.marks) {
    const PrintedMark& mark = binder.printed.marks[index];
    bound.marks[mark.note].add(mark.mark);
    if (mark.mark != Mark::kFermata) bound.mark_sources.push_back({mark.mark, true, index, 1});
  }
  for (const std::uint32_t index : binder.page.fermatas) {
    bound.fermatas.push_back({binder.printed.fermatas[index].span});
    bound.mark_sources.push_back({Mark::kFermata, true, index, 0});
  }
  for (const PrintedBreath& breath : binder.page.breaths) {
    bound.breaths.push_back({breath.at, breath.parts, {true, breath.place}});
  }
}

}  // namespace

void bind_marks(Binder& binder) {
  const PageInForce& page = binder.page;
  const bool page_marks = !page.marks.empty() || !page.fermatas.empty() || !page.breaths.empty();
  if (binder.plan.marks.empty() && !page_marks) return;
  binder.bound.marks.resize(binder.score.notes.size());
  take_over_page(binder);
  MarkLayer layer(binder);
  for (const MarkPlan& mark : binder.plan.marks) layer.lay(mark);
  join_fermatas(binder.bound.fermatas);
  std::ranges::stable_sort(binder.bound.breaths, {}, &BreathMark::at);
}

}  // namespace arsis
