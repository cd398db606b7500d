// The written dynamics as lines of stretches: what the page prints and the plan writes, folded rank
// by rank for each part of the score. Parts for which the same is written share a line.
#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <set>

#include "plan/binding_steps.h"

namespace arsis {
namespace {

// From low to high: what a higher one contradicts does not hold.
enum class Rank : std::uint8_t { kPage, kStaff, kPlan, kPart };

// A dynamic with its moments.
struct Entry {
  Beats from;
  Beats to;  // of a mark `from`
  bool rises = false;
  std::optional<int> step;
  Rank rank = Rank::kPlan;
  std::uint32_t source = 0;  // index into BoundPlan::dynamic_sources
  bool is_hairpin() const { return from < to; }
};
using Entries = std::vector<Entry>;

Place place_of(const Binder& binder, const Entry& entry) {
  return binder.bound.dynamic_sources[entry.source].source.place;
}

std::uint32_t add_source(Binder& binder, Source source) {
  binder.bound.dynamic_sources.push_back({source, std::nullopt});
  return static_cast<std::uint32_t>(binder.bound.dynamic_sources.size() - 1);
}

std::optional<Entry> placed(Binder& binder, const DynamicPlan& written) {
  const std::optional<Beats> from = binder.moment(written.from);
  if (!from) return std::nullopt;
  const std::optional<Beats> to = written.to ? binder.moment(*written.to, true) : from;
  if (!to) return std::nullopt;
  if (written.to && *to <= *from) {
    binder.text.refuse(written.to->place,
                       fmt::format("the hairpin ends at {}, not after its beginning at {}",
                                   binder.at(*to), binder.at(*from)),
                       "end it later");
    return std::nullopt;
  }
  return Entry{.from = *from,
               .to = *to,
               .rises = written.rises,
               .step = written.step,
               .rank = written.part.empty() ? Rank::kPlan : Rank::kPart,
               .source = add_source(binder, {false, written.place})};
}

void sort_entries(Entries& entries) {
  // A mark that stands where a hairpin begins comes first: the hairpin leaves from it.
  std::ranges::stable_sort(entries, [](const Entry& a, const Entry& b) {
    return a.from != b.from ? a.from < b.from : !a.is_hairpin() && b.is_hairpin();
  });
}

// Complains of dynamics of one scope that contradict each other; `entries` are sorted.
void refuse_contradictions(Binder& binder, const Entries& entries) {
  const Entry* hairpin = nullptr;  // the one that reaches furthest so far
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Entry& entry = entries[i];
    if (hairpin != nullptr && entry.from < hairpin->to &&
        (entry.is_hairpin() || entry.from > hairpin->from)) {
      binder.text.refuse(
          place_of(binder, entry),
          fmt::format("this lies inside the hairpin of line {}", place_of(binder, *hairpin).line),
          fmt::format("end that one by {}", binder.at(entry.from)));
    } else if (i > 0 && !entry.is_hairpin() && !entries[i - 1].is_hairpin() &&
               entries[i - 1].from == entry.from) {
      binder.text.refuse(place_of(binder, entry),
                         fmt::format("two marks at {}; the other is in line {}",
                                     binder.at(entry.from), place_of(binder, entries[i - 1]).line),
                         "keep one");
    }
    if (entry.is_hairpin() && (hairpin == nullptr || entry.to > hairpin->to)) hairpin = &entry;
  }
}

// The entry of higher rank that leaves no room for a lower one, or null. Hairpins that meet end to
// end, and marks where a hairpin begins or ends, go together.
const Entry* contradiction(const Entries& higher, const Entry& lower) {
  if (lower.is_hairpin()) {
    // Higher entries are sorted and do not overlap: the last that begins before the hairpin's end
    // decides.
    const auto after = std::ranges::lower_bound(higher, lower.to, {}, &Entry::from);
    if (after == higher.begin()) return nullptr;
    const Entry& last = *std::prev(after);
    return (last.is_hairpin() ? last.to : last.from) > lower.from ? &last : nullptr;
  }
  // From the last higher entry that begins there or before, back over those that begin there.
  auto after = std::ranges::upper_bound(higher, lower.from, {}, &Entry::from);
  while (after != higher.begin()) {
    const Entry& entry = *--after;
    if (!entry.is_hairpin()) return entry.from == lower.from ? &entry : nullptr;
    if (entry.from == lower.from) continue;
    const bool covers = entry.to > lower.from || (entry.to == lower.from && entry.step.has_value());
    return covers ? &entry : nullptr;
  }
  return nullptr;
}

// All entries that hold: the higher ones, and those of the lower that they do not contradict.
Entries merged(Binder& binder, const Entries& lower, const Entries& higher) {
  std::vector<DynamicSource>& sources = binder.bound.dynamic_sources;
  Entries all = higher;
  for (const Entry& entry : lower) {
    const Entry* against = contradiction(higher, entry);
    if (against == nullptr) {
      all.push_back(entry);
      continue;
    }
    DynamicSource& winner = sources[against->source];
    const Source& loser = sources[entry.source].source;
    if (winner.source.on_page || !loser.on_page) continue;
    if (!winner.instead_of || loser.place < *winner.instead_of) winner.instead_of = loser.place;
  }
  sort_entries(all);
  return all;
}

bool is_of_page(const Entry& entry) { return entry.rank < Rank::kPlan; }

int hairpin_end(const Entries& entries, std::size_t index, int begin) {
  const Entry& hairpin = entries[index];
  if (hairpin.step) return *hairpin.step;
  for (std::size_t i = index + 1; i < entries.size() && entries[i].from <= hairpin.to; ++i) {
    if (entries[i].from != hairpin.to || !entries[i].step || entries[i].is_hairpin()) continue;
    const int mark = *entries[i].step;  // that it leads to
    // A page's crescendo into a piano rises all the same: the piano is sudden. Common practice, no
    // source. Who writes a plan is asked what is meant.
    if (is_of_page(hairpin) && (hairpin.rises ? mark <= begin : mark >= begin)) break;
    return mark;
  }
  return std::clamp(begin + (hairpin.rises ? 1 : -1), kSoftestStep, kLoudestStep);
}

// One stretch for each entry.
DynamicLine resolved(const Entries& entries) {
  DynamicLine line;
  int step = 0;  // mf
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Entry& entry = entries[i];
    const int begin = entry.is_hairpin() ? step : entry.step.value_or(step);
    step = entry.is_hairpin() ? hairpin_end(entries, i, step) : begin;
    line.push_back({.from = entry.from,
                    .to = entry.to,
                    .begin_step = begin,
                    .end_step = step,
                    .falls = entry.is_hairpin() && !entry.rises,
                    .source = entry.source});
  }
  return line;
}

// A forte-piano is a mark over a note (lifted to forte) and a piano from there on. The page's
// reader has done the same for the page's.
std::vector<DynamicPlan> with_forte_pianos(const Plan& plan) {
  std::vector<DynamicPlan> all = plan.dynamics;
  for (const MarkPlan& mark : plan.marks) {
    if (mark.mark != Mark::kFortePiano) continue;
    DynamicPlan piano;
    piano.from = mark.from;
    piano.step = kPianoStep;
    piano.part = mark.part;
    piano.place = mark.place;
    all.push_back(piano);
  }
  return all;
}

// Parts of the score for which the same is written.
struct Alike {
  std::vector<std::size_t> parts;
  Beats first_note = Score::kLongest;  // of all their notes
  std::uint16_t plan_part = Binder::kNoPart;
  std::vector<std::uint32_t> page;  // indices into PageInForce::dynamics
};

class DynamicFolder {
 public:
  explicit DynamicFolder(Binder& binder) : binder_(binder), own_(binder.plan.parts.size()) {}

  // False where the plan's dynamics contradict each other.
  bool place() {
    for (const DynamicPlan& dynamic : with_forte_pianos(binder_.plan)) {
      const auto known = binder_.parts_named(dynamic.part, dynamic.place);
      const std::optional<Entry> entry = placed(binder_, dynamic);
      if (!known || !entry) continue;
      if (dynamic.part.empty()) {
        common_.push_back(*entry);
      } else {
        const auto part = std::ranges::find(binder_.plan.parts, dynamic.part, &PartPlan::name);
        own_[static_cast<std::size_t>(part - binder_.plan.parts.begin())].push_back(*entry);
      }
    }
    sort_entries(common_);
    refuse_contradictions(binder_, common_);
    for (Entries& entries : own_) {
      sort_entries(entries);
      refuse_contradictions(binder_, entries);
    }
    for (const PrintedDynamic& printed : binder_.page.dynamics) {
      page_.push_back({.from = printed.from,
                       .to = std::max(printed.from, printed.to),
                       .rises = printed.rises,
                       .step = printed.step,
                       .rank = printed.is_of_staff ? Rank::kStaff : Rank::kPage,
                       .source = add_source(binder_, {true, printed.place})});
    }
    return !has_errors(binder_.text.diagnostics);
  }

  void fold() {
    BoundPlan& bound = binder_.bound;
    for (const Alike& alike : parts_alike()) {
      for (const std::size_t part : alike.parts) {
        bound.parts[part].dynamics = static_cast<std::uint16_t>(bound.dynamics.size());
      }
      const Entries common = over_page(alike, common_);
      if (alike.plan_part == Binder::kNoPart) {
        bound.dynamics.push_back(resolved(common));
        question(common, bound.dynamics.back(), alike, [](Rank) { return true; });
        continue;
      }
      // What stands for all parts is judged without what one of them has for itself.
      question(common, resolved(common), alike, [](Rank rank) { return rank == Rank::kPlan; });
      const Entries all = over_page(alike, merged(binder_, common_, own_[alike.plan_part]));
      bound.dynamics.push_back(resolved(all));
      question(all, bound.dynamics.back(), alike, [](Rank rank) { return rank != Rank::kPlan; });
    }
    for (auto& [kind, doubted] : page_doubts_) {
      if (doubted.count > 1) {
        doubted.first.problem += fmt::format(" ({} more like it)", doubted.count - 1);
      }
      binder_.text.doubt(doubted.first.where, doubted.first.problem, doubted.first.remedy);
    }
  }

 private:
  // In the order of their first parts; none is empty.
  std::vector<Alike> parts_alike() const {
    std::vector<Alike> each(binder_.score.parts.size());
    for (std::size_t i = 0; i < each.size(); ++i) {
      const std::uint16_t part = binder_.plan_part[i];
      if (part != Binder::kNoPart && !own_[part].empty()) each[i].plan_part = part;
      each[i].parts = {i};
    }
    for (std::size_t i = 0; i < page_.size(); ++i) {
      const std::vector<bool>& parts = binder_.page.dynamics[i].parts;
      for (std::size_t part = 0; part < each.size(); ++part) {
        if (parts[part]) each[part].page.push_back(static_cast<std::uint32_t>(i));
      }
    }
    for (const Note& note : binder_.score.notes) {
      each[note.part].first_note = std::min(each[note.part].first_note, note.onset);
    }
    std::map<std::pair<std::uint16_t, std::vector<std::uint32_t>>, std::size_t> places;
    std::vector<Alike> groups;
    for (Alike& part : each) {
      const auto [found, is_new] = places.try_emplace({part.plan_part, part.page}, groups.size());
      if (is_new) {
        groups.push_back(std::move(part));
        continue;
      }
      Alike& group = groups[found->second];
      group.parts.push_back(part.parts.front());
      group.first_note = std::min(group.first_note, part.first_note);
    }
    return groups;
  }

  // The plan's entries with what they leave of the page's.
  Entries over_page(const Alike& alike, const Entries& plan) {
    Entries page;
    Entries staff;
    for (const std::uint32_t index : alike.page) {
      (page_[index].rank == Rank::kPage ? page : staff).push_back(page_[index]);
    }
    return merged(binder_, page, merged(binder_, staff, plan));
  }

  // Once of each entry; of the page's only the first of a kind, with the number of the others.
  void doubt(const Entry& entry, std::string_view kind, std::string problem, std::string remedy) {
    if (!doubted_.emplace(entry.source, kind).second) return;
    if (!is_of_page(entry)) {
      binder_.text.doubt(place_of(binder_, entry), std::move(problem), std::move(remedy));
      return;
    }
    const Where where = binder_.printed.where(place_of(binder_, entry));
    PageDoubt& known = page_doubts_[kind];
    if (known.count++ == 0 || where.line < known.first.where.line) {
      known.first = warning(where, std::move(problem), std::move(remedy));
    }
  }

  // Asks about the entries whose rank `asks` is true of.
  template <class Asks>
  void question(const Entries& entries, const DynamicLine& line, const Alike& alike, Asks asks) {
    if (entries.empty()) return;
    const Entry& front = entries.front();
    const bool late = front.rank != Rank::kPart && front.from > alike.first_note;
    if (asks(front.rank) && (late || front.is_hairpin())) {
      doubt(front, "beginning",
            fmt::format("no dynamic is written before {}", binder_.at(front.from)),
            is_of_page(front)
                ? "mf is taken; write another into the plan, with dynamics: {add: [...]}"
                : "mf is taken; add a mark at the beginning");
    }
    for (std::size_t i = 0; i < entries.size(); ++i) {
      const Entry& entry = entries[i];
      if (!entry.is_hairpin() || !asks(entry.rank)) continue;
      const bool goes = entry.rises ? line[i].end_step > line[i].begin_step
                                    : line[i].end_step < line[i].begin_step;
      if (goes) continue;
      doubt(
          entry, entry.rises ? "crescendo" : "diminuendo",
          fmt::format("this {} does not end {} than it begins",
                      entry.rises ? "crescendo" : "diminuendo", entry.rises ? "louder" : "softer"),
          "check the marks at both its ends");
    }
  }

  Binder& binder_;
  Entries page_;  // one for each of PageInForce::dynamics
  Entries common_;
  std::vector<Entries> own_;  // for each part of the plan
  struct PageDoubt {
    Diagnostic first;
    std::size_t count = 0;
  };
  std::set<std::pair<std::uint32_t, std::string_view>> doubted_;  // sources, and of what kind
  std::map<std::string_view, PageDoubt> page_doubts_;             // by kind
};

}  // namespace

void bind_dynamics(Binder& binder) {
  DynamicFolder folder(binder);
  if (!folder.place()) return;
  folder.fold();
  if (binder.bound.dynamics.empty())
    binder.bound.dynamics.emplace_back();  // of a score without notes
}

}  // namespace arsis
