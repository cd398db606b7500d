// Articulation and accents: which member holds the strongest mark.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "draft/comparison.h"
#include "draft/evidence.h"
#include "draft/pitch_names.h"

namespace arsis {
namespace {

struct MarkWeight {
  Mark mark = Mark::kAccent;
  double weight = 0.0;
  std::string_view name;
};

// From the strongest. Our choice; marks that are not here say nothing.
constexpr std::array<MarkWeight, 6> kMarkWeights = {{
    {Mark::kSforzato, 1.0, "sforzando"},
    {Mark::kFortePiano, 1.0, "forte-piano"},
    {Mark::kMarcato, 0.9, "marcato"},
    {Mark::kAccent, 0.7, "accent"},
    {Mark::kTenuto, 0.6, "tenuto"},
    {Mark::kPortato, 0.2, "portato"},
}};
constexpr double kUnderMelody = 0.5;  // of the weight, where the melody's note has no mark
constexpr double kEachMore = 0.1;     // for each further moment with a mark as strong,
constexpr double kMostMore = 0.3;     // up to this

// The strongest mark in a member, and how many more there are as strong.
struct Strongest {
  double weight = 0.0;
  std::string_view name;
  std::size_t note = 0;
  int more = 0;

  double measure() const { return weight + std::min(kMostMore, kEachMore * more); }
};

void take(Strongest& strongest, const MarkWeight& mark, double weight, std::size_t note,
          const Score& score) {
  if (weight > strongest.weight) {
    strongest = {weight, mark.name, note, 0};
  } else if (weight == strongest.weight &&
             score.notes[note].onset > score.notes[strongest.note].onset) {
    ++strongest.more;
  }
}

Strongest strongest_in(const Surface& surface, Span member) {
  const Score& score = surface.material.score;
  const BoundPlan& bound = surface.material.bound;
  const auto first = std::ranges::lower_bound(score.notes, member.begin, {}, &Note::onset);
  const auto last = std::ranges::lower_bound(score.notes, member.end, {}, &Note::onset);
  const std::span<const LineNote> line = surface.line_within(member);
  std::size_t next = 0;
  Strongest strongest;
  for (auto note = first; note < last; ++note) {
    const auto index = static_cast<std::size_t>(note - score.notes.begin());
    while (next < line.size() && line[next].note < index) ++next;
    const bool sung = next < line.size() && line[next].note == index;
    const MarkSet marks = bound.marks_of(index);
    if (marks.empty()) continue;
    const auto found = std::ranges::find_if(
        kMarkWeights, [&](const MarkWeight& entry) { return marks.has(entry.mark); });
    if (found == kMarkWeights.end()) continue;
    take(strongest, *found, found->weight * (sung ? 1.0 : kUnderMelody), index, score);
  }
  return strongest;
}

std::string words_for(const Surface& surface, const Strongest& strongest) {
  const Note& note = surface.material.score.notes[strongest.note];
  return fmt::format("{} on {} at {}", strongest.name,
                     pitch_name(note.key, surface.key_at(note.onset)), surface.place(note.onset));
}

}  // namespace

Findings articulation_evidence(const Surface& surface, const Members& members) {
  std::vector<Strongest> strongest;
  std::vector<std::optional<double>> measures;
  for (const Span& member : members.spans) {
    strongest.push_back(surface.material.bound.marks.empty() ? Strongest{}
                                                             : strongest_in(surface, member));
    measures.emplace_back(strongest.back().measure());
  }
  const std::vector<double> scores = compared(measures, 1.0);
  Findings findings(scores.size());
  for (std::size_t i = 0; i < scores.size(); ++i) {
    findings[i].score = scores[i];
    if (scores[i] > 0.0) findings[i].words = words_for(surface, strongest[i]);
  }
  return findings;
}

}  // namespace arsis
