#include "take/heard.h"

#include "shape/energy.h"
#include "shape/note_levels.h"
#include "take/median.h"

namespace arsis {
namespace {

// Whether a note at that moment may not rise, by its dynamic line.
bool is_held_down(const DynamicLine& line, const Tuning& tuning, Beats at) {
  const auto after = std::ranges::upper_bound(line, at, {}, &DynamicStretch::from);
  if (after == line.begin()) return false;
  const DynamicStretch& stretch = *std::prev(after);
  const bool inside = stretch.falls && at <= stretch.to;
  return inside && tuning.diminuendo == Diminuendo::kBroaden;
}

class Hearer {
 public:
  Hearer(const Score& score, const BoundPlan& plan, const Take& take, const Instrument& instrument)
      : score_(score),
        plan_(plan),
        take_(take),
        tables_(tables_of(score, instrument)),
        levels_(note_levels(score, plan, dynamic_curves(score, plan, {}, {}), {})),
        finder_(plan) {}

  HeardNote heard(NotePair pair) {
    const Note& note = score_.notes[pair.score];
    const BoundPart& part = plan_.parts[note.part];
    const Velocity velocity = take_.notes[pair.played].velocity;
    const LevelTable* table = tables_[pair.score];
    HeardNote heard;
    heard.note = pair.score;
    heard.played = pair.played;
    heard.at = note.onset;
    heard.level = table != nullptr ? table->level_of(velocity, note.key) : level_of(velocity);
    heard.error = std::clamp(64.0 / velocity.value(), 0.5, 3.0);
    const Decibels written = levels_[pair.score].ceiling;
    heard.ceiling = std::min(written + levels_[pair.score].lift, Decibels{0.0});
    const HoldingBlocks blocks = finder_.at(note.onset);
    heard.held_down =
        is_held_down(plan_.dynamics[part.dynamics], tuning_at(plan_, blocks), note.onset);
    return heard;
  }

 private:
  const Score& score_;
  const BoundPlan& plan_;
  const Take& take_;
  std::vector<const LevelTable*> tables_;
  std::vector<NoteLevel> levels_;  // of the ceilings and lifts alone
  BlockFinder finder_;
};

std::vector<std::uint32_t> stretches_of(const Take& take, const Alignment& alignment) {
  std::vector<std::uint32_t> stretch(take.notes.size(), 0);
  for (std::uint32_t s = 0; s < alignment.stretches.size(); ++s) {
    const PlayedStretch& played = alignment.stretches[s];
    for (std::uint32_t i = played.first_played; i < played.end_played; ++i) stretch[i] = s;
  }
  return stretch;
}

// One moment of notes [first, last) of `all`, which are by onset.
HeardMoment moment_of(const Score& score, const Take& take, std::span<const HeardNote> notes,
                      const std::vector<bool>& leads) {
  std::vector<double> onsets;
  const HeardNote* melody = nullptr;
  for (const HeardNote& note : notes) {
    onsets.push_back(take.notes[note.played].onset.value);
    if (leads[note.note]) melody = &note;
  }
  HeardMoment moment;
  moment.at = notes.front().at;
  moment.leads = melody != nullptr;
  moment.written = score.tempo.seconds_at(moment.at);
  moment.onset =
      melody != nullptr ? take.notes[melody->played].onset : Seconds{median_of(std::move(onsets))};
  return moment;
}

}  // namespace

Heard hear(const Score& score, const BoundPlan& plan, const Take& take, const Alignment& alignment,
           const Instrument& instrument) {
  Heard heard;
  std::vector<bool> leads(score.notes.size());
  for (const std::size_t note : plan.melody) leads[note] = true;
  const std::vector<std::uint32_t> stretches = stretches_of(take, alignment);
  Hearer hearer(score, plan, take, instrument);
  std::vector<HeardNote> all;
  std::vector<NotePair> pairs;
  // A wrong key is struck when and as loud as the right one was meant to be.
  std::ranges::merge(alignment.pairs, alignment.wrong, std::back_inserter(pairs));
  for (const NotePair& pair : pairs) all.push_back(hearer.heard(pair));
  for (std::size_t first = 0; first < all.size();) {
    std::size_t last = first;
    while (last < all.size() && same_moment(all[first].at, all[last].at)) ++last;
    const std::span<const HeardNote> notes(all.data() + first, last - first);
    heard.moments.push_back(moment_of(score, take, notes, leads));
    heard.moments.back().stretch = stretches[notes.front().played];
    for (const HeardNote& note : notes) {
      (leads[note.note] ? heard.melody : heard.others).push_back(note);
    }
    first = last;
  }
  return heard;
}

}  // namespace arsis
