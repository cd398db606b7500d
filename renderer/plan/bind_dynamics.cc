// The written dynamics as lines of stretches: one line for all parts, one more for each part that
// has dynamics of its own.
#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "plan/binding_steps.h"

namespace arsis {
namespace {

constexpr int kPiano = -2;    // steps from mf
constexpr int kSoftest = -5;  // pppp
constexpr int kLoudest = 4;   // ffff

// A dynamic with its moments; `own` where the part alone has it.
struct Entry {
  Beats from;
  Beats to;
  const DynamicPlan* written = nullptr;
  bool own = false;
  bool is_hairpin() const { return written->to.has_value(); }
};

std::optional<Entry> placed(Binder& binder, const DynamicPlan& written) {
  const std::optional<Beats> from = binder.moment(written.from);
  if (!from) return std::nullopt;
  if (!written.to) return Entry{*from, *from, &written, !written.part.empty()};
  const std::optional<Beats> to = binder.moment(*written.to, true);
  if (!to) return std::nullopt;
  if (*to <= *from) {
    binder.text.refuse(written.to->place,
                       fmt::format("the hairpin ends at {}, not after its beginning at {}",
                                   binder.at(*to), binder.at(*from)),
                       "end it later");
    return std::nullopt;
  }
  return Entry{*from, *to, &written, !written.part.empty()};
}

void sort_entries(std::vector<Entry>& entries) {
  // A mark that stands where a hairpin begins comes first: the hairpin leaves from it.
  std::ranges::stable_sort(entries, [](const Entry& a, const Entry& b) {
    return a.from != b.from ? a.from < b.from : !a.is_hairpin() && b.is_hairpin();
  });
}

// Complains of dynamics of one scope that contradict each other; `entries` are sorted.
void refuse_contradictions(Binder& binder, const std::vector<Entry>& entries) {
  const Entry* hairpin = nullptr;  // the one that reaches furthest so far
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Entry& entry = entries[i];
    if (hairpin != nullptr && entry.from < hairpin->to &&
        (entry.is_hairpin() || entry.from > hairpin->from)) {
      binder.text.refuse(
          entry.written->place,
          fmt::format("this lies inside the hairpin of line {}", hairpin->written->place.line),
          fmt::format("end that one by {}", binder.at(entry.from)));
    } else if (i > 0 && !entry.is_hairpin() && !entries[i - 1].is_hairpin() &&
               entries[i - 1].from == entry.from) {
      binder.text.refuse(entry.written->place,
                         fmt::format("two marks at {}; the other is in line {}",
                                     binder.at(entry.from), entries[i - 1].written->place.line),
                         "keep one");
    }
    if (entry.is_hairpin() && (hairpin == nullptr || entry.to > hairpin->to)) hairpin = &entry;
  }
}

// Whether a part's own entries leave no room for a common one. Hairpins that meet end to end, and
// marks where a hairpin begins or ends, go together.
bool contradicts(const std::vector<Entry>& own, const Entry& common) {
  if (common.is_hairpin()) {
    // Own entries are sorted and do not overlap: the last that begins before the hairpin's end
    // decides.
    const auto after = std::ranges::lower_bound(own, common.to, {}, &Entry::from);
    if (after == own.begin()) return false;
    const Entry& last = *std::prev(after);
    return last.is_hairpin() ? last.to > common.from : last.from > common.from;
  }
  // From the last own entry that begins there or before, back over those that begin there.
  auto after = std::ranges::upper_bound(own, common.from, {}, &Entry::from);
  while (after != own.begin()) {
    const Entry& entry = *--after;
    if (!entry.is_hairpin()) return entry.from == common.from;
    if (entry.from == common.from) continue;
    return entry.to > common.from || (entry.to == common.from && entry.written->step.has_value());
  }
  return false;
}

// All entries that hold for a part: its own, and those of all parts that its own do not contradict.
std::vector<Entry> merged(const std::vector<Entry>& common, const std::vector<Entry>& own) {
  std::vector<Entry> all = own;
  std::ranges::copy_if(common, std::back_inserter(all),
                       [&](const Entry& entry) { return !contradicts(own, entry); });
  sort_entries(all);
  return all;
}

int hairpin_end(const std::vector<Entry>& entries, std::size_t index, int begin) {
  const Entry& hairpin = entries[index];
  if (hairpin.written->step) return *hairpin.written->step;
  for (std::size_t i = index + 1; i < entries.size() && entries[i].from <= hairpin.to; ++i) {
    if (entries[i].from == hairpin.to && entries[i].written->step && !entries[i].is_hairpin()) {
      return *entries[i].written->step;  // the mark that it leads to
    }
  }
  return std::clamp(begin + (hairpin.written->rises ? 1 : -1), kSoftest, kLoudest);
}

// `own_line`: a part's own. Warnings of common entries are given once, with the line of all parts.
DynamicLine resolved(Binder& binder, const std::vector<Entry>& entries, bool own_line) {
  DynamicLine line;
  int step = 0;  // mf
  const bool late = !own_line && !entries.empty() && !binder.score.notes.empty() &&
                    entries.front().from > binder.score.notes.front().onset;
  const bool from_nowhere =
      !entries.empty() && entries.front().is_hairpin() && (!own_line || entries.front().own);
  if (late || from_nowhere) {
    binder.text.doubt(
        entries.front().written->place,
        fmt::format("no dynamic is written before {}", binder.at(entries.front().from)),
        "mf is taken; add a mark at the beginning");
  }
  for (std::size_t i = 0; i < entries.size(); ++i) {
    const Entry& entry = entries[i];
    if (!entry.is_hairpin()) {
      step = *entry.written->step;
      line.push_back({entry.from, entry.from, step, step, false});
      continue;
    }
    const int end = hairpin_end(entries, i, step);
    const bool rises = entry.written->rises;
    if ((rises ? end <= step : end >= step) && (entry.own || !own_line)) {
      binder.text.doubt(
          entry.written->place,
          fmt::format("this {} does not end {} than it begins", rises ? "crescendo" : "diminuendo",
                      rises ? "louder" : "softer"),
          "check the marks at both its ends");
    }
    line.push_back({entry.from, entry.to, step, end, !rises});
    step = end;
  }
  return line;
}

// A forte-piano is a mark over a note (lifted to forte) and a piano from there on.
std::vector<DynamicPlan> with_forte_pianos(const Plan& plan) {
  std::vector<DynamicPlan> all = plan.dynamics;
  for (const MarkPlan& mark : plan.marks) {
    if (mark.mark != Mark::kFortePiano) continue;
    DynamicPlan piano;
    piano.from = mark.from;
    piano.step = kPiano;
    piano.part = mark.part;
    piano.place = mark.place;
    all.push_back(piano);
  }
  return all;
}

}  // namespace

void bind_dynamics(Binder& binder) {
  const std::vector<DynamicPlan> written = with_forte_pianos(binder.plan);
  std::vector<Entry> common;
  std::vector<std::vector<Entry>> own(binder.plan.parts.size());
  for (const DynamicPlan& dynamic : written) {
    const auto known = binder.parts_named(dynamic.part, dynamic.place);
    const std::optional<Entry> entry = placed(binder, dynamic);
    if (!known || !entry) continue;
    if (dynamic.part.empty()) {
      common.push_back(*entry);
    } else {
      const auto part = std::ranges::find(binder.plan.parts, dynamic.part, &PartPlan::name);
      own[static_cast<std::size_t>(part - binder.plan.parts.begin())].push_back(*entry);
    }
  }
  sort_entries(common);
  refuse_contradictions(binder, common);
  for (std::vector<Entry>& entries : own) {
    sort_entries(entries);
    refuse_contradictions(binder, entries);
  }
  if (has_errors(binder.text.diagnostics)) return;
  binder.bound.dynamics.push_back(resolved(binder, common, false));
  for (std::size_t i = 0; i < own.size(); ++i) {
    if (own[i].empty()) continue;
    binder.bound.dynamics.push_back(resolved(binder, merged(common, own[i]), true));
    const auto line = static_cast<std::uint16_t>(binder.bound.dynamics.size() - 1);
    for (std::size_t k = 0; k < binder.plan_part.size(); ++k) {
      if (binder.plan_part[k] == i) binder.bound.parts[k].dynamics = line;
    }
  }
}

}  // namespace arsis
