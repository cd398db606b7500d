#include "tool/in_force.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <map>
#include <tuple>

#include "base/text.h"
#include "plan/marks.h"

namespace arsis {
namespace {

constexpr std::size_t kMostNames = 4;  // of parts, in one entry

Where where_of(const Loaded& loaded, const Source& source) {
  return source.on_page ? loaded.printed.where(source.place) : loaded.plan.where(source.place);
}

std::string position(const Loaded& loaded, Beats at) {
  return to_string(loaded.score.bars.position_of(at));
}

// The names of the parts that `is_meant` is true of, each once; nothing where it is of all.
template <class IsMeant>
std::string names_of(const Loaded& loaded, IsMeant is_meant) {
  std::vector<std::string_view> names;
  bool all = true;
  for (std::size_t i = 0; i < loaded.bound.parts.size() && names.size() <= kMostNames; ++i) {
    if (!is_meant(i)) {
      all = false;
      continue;
    }
    const std::string_view name = loaded.bound.parts[i].name;
    if (std::ranges::find(names, name) == names.end()) names.push_back(name);
  }
  if (all && names.size() <= kMostNames) return {};
  std::string text;
  for (std::size_t i = 0; i < std::min(names.size(), kMostNames); ++i) {
    text += (i == 0 ? "" : ", ") + (names[i].empty() ? "unnamed" : printable(names[i], 40));
  }
  return names.size() > kMostNames ? text + " ..." : text;
}

void put_in_order(std::vector<InForce>& entries) {
  std::ranges::stable_sort(entries, {}, &InForce::at);
}

// "dim to 8:2, p".
std::string dynamic_text(const Loaded& loaded, const DynamicStretch& stretch) {
  const std::string_view mark = dynamic_name(stretch.end_step);
  if (!stretch.is_hairpin()) return std::string(mark);
  return fmt::format("{} to {}, {}", stretch.falls ? "dim" : "cresc", position(loaded, stretch.to),
                     mark);
}

std::string run_text(const Loaded& loaded, Mark mark, std::optional<Beats> to,
                     std::uint32_t notes) {
  std::string text(mark_name(mark));
  if (to) text += " to " + position(loaded, *to);
  return notes > 1 && mark != Mark::kFermata ? text + fmt::format(", {} notes", notes) : text;
}

// Marks of the page, gathered to runs.
class Runs {
 public:
  explicit Runs(const Loaded& loaded) : loaded_(loaded) {
    // For each note, which onset of its part it has; grace notes belong to the one before.
    std::vector<Beats> latest(loaded.score.parts.size(), Beats{-1.0});
    std::vector<std::uint32_t> count(latest.size());
    onset_.reserve(loaded.score.notes.size());
    for (const Note& note : loaded.score.notes) {
      if (!note.grace && latest[note.part] < note.onset) {
        latest[note.part] = note.onset;
        ++count[note.part];
      }
      onset_.push_back(count[note.part]);
    }
  }

  // In the order of notes.
  void add(const PrintedMark& mark) {
    const Note& note = loaded_.score.notes[mark.note];
    const auto [found, is_new] = open_.try_emplace({note.part, mark.mark}, runs_.size());
    if (!is_new) {
      Run& run = runs_[found->second];
      if (onset_[mark.note] <= onset_[run.last] + 1) {
        run.last = mark.note;
        ++run.notes;
        return;
      }
      found->second = runs_.size();
    }
    runs_.push_back({mark, {note.part}, mark.note, 1});
  }

  std::vector<InForce> entries() {
    join_parts();
    std::vector<InForce> all;
    for (const Run& run : runs_) {
      const Beats from = loaded_.score.notes[run.first.note].onset;
      const Beats last = loaded_.score.notes[run.last].onset;
      const std::optional<Beats> to = last > from ? std::optional(last) : std::nullopt;
      all.push_back({from,
                     run_text(loaded_, run.first.mark, to, run.notes),
                     names_of(loaded_,
                              [&](std::size_t part) {
                                return std::ranges::find(run.parts, part) != run.parts.end();
                              }),
                     loaded_.printed.where(run.first.place),
                     {},
                     to});
    }
    return all;
  }

 private:
  struct Run {
    PrintedMark first;
    std::vector<std::size_t> parts;
    std::uint32_t last = 0;  // its last note
    std::uint32_t notes = 0;
  };

  // One sign for several parts, as an sf between two staves, is one entry.
  void join_parts() {
    std::vector<Run> joined;
    const auto key = [&](const Run& run) {
      const std::vector<Note>& notes = loaded_.score.notes;
      return std::tuple(notes[run.first.note].onset, run.first.place, run.first.mark,
                        notes[run.last].onset);
    };
    std::ranges::stable_sort(runs_, {}, key);
    for (Run& run : runs_) {
      if (joined.empty() || key(joined.back()) != key(run)) {
        joined.push_back(std::move(run));
        continue;
      }
      joined.back().parts.push_back(run.parts.front());
      joined.back().notes += run.notes;
    }
    runs_ = std::move(joined);
  }

  const Loaded& loaded_;
  std::vector<std::uint32_t> onset_;
  std::map<std::pair<std::uint16_t, Mark>, std::size_t> open_;  // the last run of each
  std::vector<Run> runs_;
};

InForce marked_by_plan(const Loaded& loaded, const MarkSource& source) {
  const MarkPlan& written = loaded.plan.marks[source.index];
  const auto moment = [&](const WrittenPosition& place) {
    const Beats at = loaded.score.bars.moment_of(place.position).value_or(Beats{0.0});
    return loaded.score.snapped(at);
  };
  std::optional<Beats> to;
  if (written.to) to = moment(*written.to);
  return {moment(written.from),
          run_text(loaded, source.mark, to, source.notes),
          written.part,
          loaded.plan.where(written.place),
          {},
          to};
}

InForce held_by_page(const Loaded& loaded, const PrintedFermata& fermata) {
  return {fermata.span.begin,
          std::string(mark_name(Mark::kFermata)),
          {},
          loaded.printed.where(fermata.place),
          {},
          {}};
}

}  // namespace

std::vector<InForce> dynamics_in_force(const Loaded& loaded) {
  const BoundPlan& bound = loaded.bound;
  // For each source the lines that it stands in, and the first stretch made of it.
  std::map<std::uint32_t, std::pair<const DynamicStretch*, std::vector<std::size_t>>> used;
  for (std::size_t line = 0; line < bound.dynamics.size(); ++line) {
    for (const DynamicStretch& stretch : bound.dynamics[line]) {
      auto& [first, lines] = used[stretch.source];
      if (first == nullptr) first = &stretch;
      lines.push_back(line);
    }
  }
  std::map<std::vector<std::size_t>, std::string> names;
  std::vector<InForce> entries;
  for (const auto& [index, use] : used) {
    const auto& [stretch, lines] = use;
    const auto [name, is_new] = names.try_emplace(lines);
    if (is_new) {
      name->second = names_of(loaded, [&, &in = lines](std::size_t part) {
        return std::ranges::binary_search(in, std::size_t{bound.parts[part].dynamics});
      });
    }
    const DynamicSource& source = bound.dynamic_sources[index];
    InForce entry{stretch->from,
                  dynamic_text(loaded, *stretch),
                  name->second,
                  where_of(loaded, source.source),
                  {},
                  {}};
    if (source.instead_of) entry.instead_of = loaded.printed.where(*source.instead_of);
    if (stretch->is_hairpin()) entry.to = stretch->to;
    entries.push_back(std::move(entry));
  }
  put_in_order(entries);
  return entries;
}

std::vector<InForce> marks_in_force(const Loaded& loaded) {
  std::vector<InForce> entries;
  std::vector<InForce> fermatas;
  Runs runs(loaded);
  for (const MarkSource& source : loaded.bound.mark_sources) {
    if (!source.on_page) {
      entries.push_back(marked_by_plan(loaded, source));
    } else if (source.mark == Mark::kFermata) {
      fermatas.push_back(held_by_page(loaded, loaded.printed.fermatas[source.index]));
    } else {
      runs.add(loaded.printed.marks[source.index]);
    }
  }
  std::ranges::move(runs.entries(), std::back_inserter(entries));
  put_in_order(fermatas);  // one over both staves is one
  std::ranges::unique_copy(fermatas, std::back_inserter(entries), {}, &InForce::at);
  for (const BreathMark& breath : loaded.bound.breaths) {
    entries.push_back({breath.at,
                       std::string(mark_name(Mark::kBreath)),
                       names_of(loaded, [&](std::size_t part) { return breath.parts[part]; }),
                       where_of(loaded, breath.source),
                       {},
                       {}});
  }
  put_in_order(entries);
  return entries;
}

}  // namespace arsis
