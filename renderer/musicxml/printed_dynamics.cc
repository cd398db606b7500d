#include "musicxml/printed_dynamics.h"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <utility>

#include "plan/tuning.h"

namespace arsis {
namespace {

constexpr Ticks kLongestWord = 32;    // quarter notes that a "cresc." without an end goes on
constexpr double kFirstShare = 0.25;  // of a hairpin, in which a mark is its beginning
constexpr double kRestShare = 0.5;    // of a hairpin, that goes on after a mark

struct Entry {
  Ticks from = 0;
  Ticks to = 0;
  std::optional<int> step;
  bool rises = false;
  int staff = 0;
  int stands_at = 0;
  Place place;
  bool is_hairpin() const { return to > from; }
};

bool meet(int a, int b) { return a == 0 || b == 0 || a == b; }

bool is_dynamic(const PlayedSign& played) {
  return played.sign->kind == SignKind::kDynamic || played.sign->kind == SignKind::kHairpin;
}

// Where a hairpin ends that the page does not end.
Ticks open_end(const std::vector<PlayedSign>& signs, std::size_t index, Ticks longest, Ticks end) {
  const PlayedSign& hairpin = signs[index];
  const Ticks most = std::min(hairpin.at + longest, end);
  for (std::size_t i = index + 1; i < signs.size() && signs[i].at < most; ++i) {
    if (!is_dynamic(signs[i]) || signs[i].at == hairpin.at) continue;
    if (meet(signs[i].sign->staff, hairpin.sign->staff)) return signs[i].at;
  }
  return most;
}

// Hairpins of one staff that begin together end together: they are looked for once.
class OpenEnds {
 public:
  OpenEnds(const std::vector<PlayedSign>& signs, Ticks longest, Ticks end)
      : signs_(signs), longest_(longest), end_(end) {}

  Ticks of(std::size_t index) {
    const PlayedSign& hairpin = signs_[index];
    Known& known = known_[hairpin.sign->staff];
    if (known.from != hairpin.at) known = {hairpin.at, open_end(signs_, index, longest_, end_)};
    return known.to;
  }

 private:
  struct Known {
    Ticks from = -1;
    Ticks to = 0;
  };
  const std::vector<PlayedSign>& signs_;
  Ticks longest_;
  Ticks end_;
  std::map<int, Known> known_;  // by staff
};

// As they stand, by staff.
std::map<int, std::vector<Entry>> entries_of(const std::vector<PlayedSign>& signs, Ticks longest,
                                             Ticks end) {
  std::map<int, std::vector<Entry>> entries;
  OpenEnds open_ends(signs, longest, end);
  for (std::size_t i = 0; i < signs.size(); ++i) {
    if (!is_dynamic(signs[i])) continue;
    const PageSign& sign = *signs[i].sign;
    Entry entry{signs[i].at, signs[i].at, {}, sign.rises, sign.staff, sign.stands_at, sign.place};
    if (sign.kind == SignKind::kDynamic) {
      entry.step = sign.step;
      entries[sign.staff].push_back(entry);
      continue;
    }
    if (sign.from_nothing) {
      Entry nothing = entry;
      nothing.step = kSoftestStep;
      entries[sign.staff].push_back(nothing);
    }
    entry.to = std::min(signs[i].to ? *signs[i].to : open_ends.of(i), end);
    if (sign.to_nothing) entry.step = kSoftestStep;
    if (entry.is_hairpin()) entries[sign.staff].push_back(entry);
  }
  return entries;
}

// The different marks of the whole instrument at one moment: the staff that each stands at, its
// step. At most nine staves by ten steps.
std::set<std::pair<int, int>> marks_at(const std::vector<Entry>& shared, std::size_t first) {
  std::set<std::pair<int, int>> marks;
  for (std::size_t i = first; i < shared.size() && shared[i].from == shared[first].from; ++i) {
    if (!shared[i].is_hairpin()) marks.emplace(shared[i].stands_at, *shared[i].step);
  }
  return marks;
}

// Marks of the whole instrument that stand at one moment at different staves and do not agree are
// their staff's.
void part_by_staff(std::map<int, std::vector<Entry>>& entries) {
  std::vector<Entry> kept;
  std::vector<Entry>& shared = entries[0];
  std::set<std::pair<int, int>> marks;
  for (std::size_t i = 0; i < shared.size(); ++i) {
    const Entry& entry = shared[i];
    if (i == 0 || entry.from != shared[i - 1].from) marks = marks_at(shared, i);
    const bool apart = !entry.is_hairpin() && entry.stands_at > 0 &&
                       std::ranges::any_of(marks, [&](const std::pair<int, int>& other) {
                         return other.first != entry.stands_at && other.second != *entry.step;
                       });
    if (apart) {
      entries[entry.stands_at].push_back(entry);
      entries[entry.stands_at].back().staff = entry.stands_at;
    } else {
      kept.push_back(entry);
    }
  }
  shared = std::move(kept);
}

// One mark a moment, the last in the file.
void keep_last_marks(std::vector<Entry>& entries) {
  std::vector<Entry> kept;
  for (const Entry& entry : entries) {
    const bool again = !kept.empty() && !entry.is_hairpin() && !kept.back().is_hairpin() &&
                       kept.back().from == entry.from;
    if (again) kept.pop_back();
    kept.push_back(entry);
  }
  entries = std::move(kept);
}

// Makes `hairpin`, the last of `settled`, give way to what begins inside it; returns the rest of it
// that goes on after a mark.
std::optional<Entry> give_way(std::vector<Entry>& settled, std::size_t hairpin, const Entry& next) {
  Entry& open = settled[hairpin];
  const Entry whole = open;
  const auto length = static_cast<double>(whole.to - whole.from);
  if (next.is_hairpin()) {
    open.to = next.from;
    open.step.reset();
    return std::nullopt;
  }
  Entry rest = whole;
  rest.from = next.from;
  if (static_cast<double>(next.from - whole.from) < length * kFirstShare) {
    open.to = open.from;  // nothing is left before the mark
    open.step.reset();
    return rest;
  }
  open.to = next.from;
  open.step.reset();
  if (static_cast<double>(whole.to - next.from) >= length * kRestShare) return rest;
  return std::nullopt;
}

std::vector<Entry> settled(std::vector<Entry> entries) {
  const auto order = [](const Entry& entry) { return std::tuple(entry.from, entry.is_hairpin()); };
  std::ranges::stable_sort(entries, {}, order);
  keep_last_marks(entries);
  std::vector<Entry> all;
  std::optional<std::size_t> open;  // the hairpin that reaches furthest
  for (const Entry& entry : entries) {
    const bool inside =
        open && entry.from < all[*open].to && (entry.is_hairpin() || entry.from > all[*open].from);
    std::optional<Entry> rest;
    if (inside) rest = give_way(all, *open, entry);
    all.push_back(entry);
    if (rest) all.push_back(*rest);
    if (all.back().is_hairpin()) open = all.size() - 1;
  }
  std::erase_if(all, [](const Entry& entry) { return !entry.is_hairpin() && !entry.step; });
  return all;
}

}  // namespace

std::vector<PrintedDynamic> printed_dynamics(const std::vector<PlayedSign>& signs,
                                             const StaffParts& staves, std::size_t part_count,
                                             int division, Ticks end) {
  std::map<int, std::vector<Entry>> entries = entries_of(signs, kLongestWord * division, end);
  part_by_staff(entries);
  std::vector<PrintedDynamic> dynamics;
  for (auto& [staff, list] : entries) {
    std::vector<bool> parts(part_count);
    for (std::size_t i = 0; i < staves.size(); ++i) {
      const bool holds = staff == 0 || i + 1 == static_cast<std::size_t>(staff);
      if (holds && staves[i]) parts[*staves[i]] = true;
    }
    if (std::ranges::find(parts, true) == parts.end()) continue;
    for (const Entry& entry : settled(std::move(list))) {
      dynamics.push_back({beats_of(entry.from, division), beats_of(entry.to, division), entry.rises,
                          entry.step, parts, staff != 0, entry.place});
    }
  }
  return dynamics;
}

}  // namespace arsis
