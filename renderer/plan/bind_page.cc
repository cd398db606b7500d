// What of the page stays in force: all of it, but for the kinds that the plan writes a full list of
// and the entries that it removes.
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "plan/binding_steps.h"

namespace arsis {
namespace {

// Bounds the work of a plan that removes the same entries again and again.
constexpr std::size_t kMostRemoved = 20'000'000;
constexpr Beats kMostDelay{1.0};  // of a note after its place on the page, by grace notes

// A removal with its moments.
struct Reach {
  const RemovePlan* written = nullptr;
  Beats from;
  Beats to;
  std::vector<bool> parts;  // for each of the score's
  bool holds(Beats at) const { return from <= at && at <= to; }
};

// "p", "crescendo to p", "staccato"; `kind` where the removal names no word.
std::string described(const RemovePlan& removed, std::string_view kind) {
  std::string text(kind);
  const std::string step = removed.step ? std::string(dynamic_name(*removed.step)) : std::string();
  if (removed.rises) {
    text = *removed.rises ? "crescendo" : "diminuendo";
    if (removed.step) text += " to " + step;
  } else if (removed.step) {
    text = step;
  } else if (removed.mark) {
    text = mark_name(*removed.mark);
  }
  return text;
}

class Page {
 public:
  explicit Page(Binder& binder)
      : binder_(binder),
        printed_(binder.printed),
        dynamics_(binder.printed.dynamics),
        marks_(printed_.marks.size(), true),
        fermatas_(printed_.fermatas.size(), true),
        breaths_(printed_.breaths) {}

  void change() {
    const Plan& plan = binder_.plan;
    if (plan.page_dynamics.all_replaced) dynamics_.clear();
    if (plan.page_marks.all_replaced) {
      remove_marks(
          {nullptr, {0.0}, Score::kLongest, std::vector<bool>(binder_.score.parts.size(), true)});
    }
    for (const RemovePlan& removed : plan.page_dynamics.removed) {
      const auto reach = reach_of(removed);
      if (reach && !remove_dynamics(*reach)) doubt(*reach, "dynamic", printed_.dynamics.empty());
    }
    for (const RemovePlan& removed : plan.page_marks.removed) {
      const auto reach = reach_of(removed);
      if (reach && !remove_marks(*reach)) doubt(*reach, "mark", prints_no_marks());
    }
    hand_over();
  }

 private:
  Beats onset_of(const PrintedMark& mark) const { return binder_.score.notes[mark.note].onset; }

  // The first of a note that begins there or later.
  std::vector<PrintedMark>::const_iterator first_mark(Beats at) const {
    return std::ranges::lower_bound(printed_.marks, at, {},
                                    [&](const PrintedMark& mark) { return onset_of(mark); });
  }

  bool prints_no_marks() const {
    return printed_.marks.empty() && printed_.fermatas.empty() && printed_.breaths.empty();
  }

  std::optional<Reach> reach_of(const RemovePlan& removed) {
    auto parts = binder_.parts_named(removed.part, removed.place);
    const std::optional<Beats> from = binder_.moment(removed.from);
    const std::optional<Beats> to = removed.to ? binder_.moment(*removed.to, true) : from;
    if (!parts || !from || !to) return std::nullopt;
    if (*to < *from) {
      binder_.text.refuse(removed.to->place,
                          fmt::format("what is removed ends at {}, before it begins at {}",
                                      binder_.at(*to), binder_.at(*from)),
                          "end it later");
      return std::nullopt;
    }
    return Reach{&removed, *from, *to, *std::move(parts)};
  }

  void doubt(const Reach& reach, std::string_view kind, bool none_at_all) {
    if (spent_ > kMostRemoved) return;  // which was refused
    const RemovePlan& removed = *reach.written;
    std::string where =
        removed.to ? fmt::format("from {} to {}", binder_.at(reach.from), binder_.at(reach.to))
                   : fmt::format("at {}", binder_.at(reach.from));
    if (!removed.part.empty()) where += fmt::format(" for '{}'", printable(removed.part));
    binder_.text.doubt(
        removed.place, fmt::format("the page prints no {} {}", described(removed, kind), where),
        none_at_all ? "nothing is removed; the score prints none at all"
                    : "nothing is removed; 'arsis check --printed' lists what there is");
  }

  // Counts what a removal looks at. False where it is too much.
  bool take(std::size_t count, const Reach& reach) {
    if (reach.written == nullptr || (spent_ += count) <= kMostRemoved) return true;
    if (!complained_) {
      binder_.text.refuse(reach.written->place, "too much of the page is removed again and again",
                          "remove each entry once, or write a full list");
    }
    complained_ = true;
    return false;
  }

  static bool is_meant(const PrintedDynamic& dynamic, const RemovePlan& removed) {
    const bool is_hairpin = dynamic.from < dynamic.to;
    if (removed.rises && (!is_hairpin || dynamic.rises != *removed.rises)) return false;
    if (!removed.step) return true;
    return is_hairpin == removed.rises.has_value() && dynamic.step == removed.step;
  }

  static bool is_meant(Mark mark, const Reach& reach) {
    return reach.written == nullptr || !reach.written->mark || *reach.written->mark == mark;
  }

  // Takes the parts of the reach from the entry; false where it has none of them.
  static bool clear(std::vector<bool>& parts, const std::vector<bool>& removed) {
    bool any = false;
    for (std::size_t i = 0; i < parts.size(); ++i) {
      any = any || (parts[i] && removed[i]);
      parts[i] = parts[i] && !removed[i];
    }
    return any;
  }

  bool remove_dynamics(const Reach& reach) {
    bool any = false;
    auto dynamic = std::ranges::lower_bound(dynamics_, reach.from, {}, &PrintedDynamic::from);
    for (; dynamic != dynamics_.end() && dynamic->from <= reach.to; ++dynamic) {
      if (!take(dynamic->parts.size(), reach)) return any;
      if (is_meant(*dynamic, *reach.written)) any = clear(dynamic->parts, reach.parts) || any;
    }
    return any;
  }

  // Whether a note under the fermata is of the reach's parts; all are where it names none.
  bool is_over(const PrintedFermata& fermata, const Reach& reach) {
    if (reach.written == nullptr || reach.written->part.empty()) return true;
    const Beats at = fermata.span.begin;
    for (auto mark = first_mark(at); mark != printed_.marks.end() && onset_of(*mark) == at;
         ++mark) {
      if (!take(1, reach)) return false;
      if (mark->mark == Mark::kFermata && mark->place == fermata.place &&
          reach.parts[binder_.score.notes[mark->note].part]) {
        return true;
      }
    }
    return false;
  }

  // A forte-piano goes with the piano that the page's reader made of it.
  void remove_piano(const PrintedMark& mark, const Reach& reach) {
    const Beats onset = onset_of(mark);
    auto dynamic =
        std::ranges::lower_bound(dynamics_, onset - kMostDelay, {}, &PrintedDynamic::from);
    for (; dynamic != dynamics_.end() && dynamic->from <= onset; ++dynamic) {
      if (!take(1, reach)) return;
      if (dynamic->place == mark.place) clear(dynamic->parts, reach.parts);
    }
  }

  bool remove_note_marks(const Reach& reach) {
    bool any = false;
    for (auto mark = first_mark(reach.from);
         mark != printed_.marks.end() && onset_of(*mark) <= reach.to; ++mark) {
      const auto index = static_cast<std::size_t>(mark - printed_.marks.begin());
      if (!take(1, reach)) return any;
      if (!marks_[index] || !is_meant(mark->mark, reach)) continue;
      if (!reach.parts[binder_.score.notes[mark->note].part]) continue;
      if (mark->mark == Mark::kFortePiano) remove_piano(*mark, reach);
      marks_[index] = false;
      any = true;
    }
    return any;
  }

  bool remove_fermatas(const Reach& reach) {
    bool any = false;
    if (!is_meant(Mark::kFermata, reach) || !take(fermatas_.size(), reach)) return any;
    for (std::size_t i = 0; i < fermatas_.size(); ++i) {
      const PrintedFermata& fermata = printed_.fermatas[i];
      if (!fermatas_[i] || !reach.holds(fermata.span.begin) || !is_over(fermata, reach)) continue;
      fermatas_[i] = false;
      any = true;
    }
    return any;
  }

  bool remove_breaths(const Reach& reach) {
    bool any = false;
    if (!is_meant(Mark::kBreath, reach) || !take(breaths_.size(), reach)) return any;
    for (PrintedBreath& breath : breaths_) {
      if (reach.holds(breath.at)) any = clear(breath.parts, reach.parts) || any;
    }
    return any;
  }

  bool remove_marks(const Reach& reach) {
    const bool fermatas =
        remove_fermatas(reach);  // before the notes' own, which say whose they are
    const bool breaths = remove_breaths(reach);
    return remove_note_marks(reach) || fermatas || breaths;
  }

  static std::vector<std::uint32_t> kept(const std::vector<bool>& flags) {
    std::vector<std::uint32_t> indices;
    for (std::size_t i = 0; i < flags.size(); ++i) {
      if (flags[i]) indices.push_back(static_cast<std::uint32_t>(i));
    }
    return indices;
  }

  static bool is_silent(const std::vector<bool>& parts) {
    return std::ranges::find(parts, true) == parts.end();
  }

  void hand_over() {
    std::erase_if(dynamics_,
                  [](const PrintedDynamic& dynamic) { return is_silent(dynamic.parts); });
    std::erase_if(breaths_, [](const PrintedBreath& breath) { return is_silent(breath.parts); });
    binder_.page = {std::move(dynamics_), kept(marks_), kept(fermatas_), std::move(breaths_)};
  }

  Binder& binder_;
  const Printed& printed_;
  std::vector<PrintedDynamic> dynamics_;
  std::vector<bool> marks_;  // of the lists of Printed: whether each is in force
  std::vector<bool> fermatas_;
  std::vector<PrintedBreath> breaths_;
  std::size_t spent_ = 0;
  bool complained_ = false;
};

}  // namespace

void bind_page(Binder& binder) { Page(binder).change(); }

}  // namespace arsis
