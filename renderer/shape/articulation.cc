#include "shape/articulation.h"

#include <algorithm>
#include <limits>
#include <optional>
#include <span>

#include "score/key_rows.h"
#include "shape/energy.h"
#include "shape/lead.h"

namespace arsis {
namespace {

constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

// For each note the next one of its key and channel that starts later; kNone for the last.
std::vector<std::size_t> next_of_same_key(const Score& score) {
  struct Following {
    std::size_t at_onset = kNone;  // a note of the latest onset seen, going backwards
    std::size_t later = kNone;     // the first note after that onset
  };
  std::vector<std::size_t> next(score.notes.size(), kNone);
  std::vector<Following> keys(kChannelKeys);
  for (std::size_t i = score.notes.size(); i-- > 0;) {
    const Note& note = score.notes[i];
    Following& key = keys[channel_key(score, i)];
    if (key.at_onset != kNone && score.notes[key.at_onset].onset != note.onset) {
      key.later = key.at_onset;
    }
    key.at_onset = i;
    next[i] = key.later;
  }
  return next;
}

// Where each note ends as a reader of the score sees it: at the next onset of its part, where only
// the slack of an export lies between; where it is written to end otherwise.
struct FullEnd {
  Beats at;
  bool followed = false;  // another note of the part starts there
};

std::vector<FullEnd> full_ends(const Score& score, double slack) {
  std::vector<std::vector<Beats>> onsets(score.parts.size());
  for (const Note& note : score.notes) {
    std::vector<Beats>& part = onsets[note.part];
    if (part.empty() || part.back() != note.onset) part.push_back(note.onset);
  }
  std::vector<std::size_t> here(score.parts.size());  // place of the present onset in its part
  std::vector<FullEnd> ends;
  ends.reserve(score.notes.size());
  for (const Note& note : score.notes) {
    const std::vector<Beats>& part = onsets[note.part];
    std::size_t& place = here[note.part];
    while (part[place] < note.onset) ++place;
    // Doubles the reach until it passes the note's end, then bisects: most notes end at the next
    // onset, a few hold over many.
    std::size_t reach = 1;
    while (place + reach < part.size() && part[place + reach] < note.end - kSameMoment) reach *= 2;
    const auto begin = part.begin() + static_cast<std::ptrdiff_t>(place + reach / 2);
    const auto end =
        part.begin() + static_cast<std::ptrdiff_t>(std::min(part.size(), place + reach + 1));
    const auto next = std::lower_bound(begin, end, note.end - kSameMoment);
    const bool followed =
        next != end && *next - note.end <= (*next - note.onset) * slack + kSameMoment;
    ends.push_back({followed ? *next : note.end, followed});
  }
  return ends;
}

// The breath of the largest level heard that closes where the note ends; 0 inside all blocks.
Seconds breath_at_end(const BoundPlan& plan, const HoldingBlocks& blocks, Beats end,
                      const Layers& layers) {
  Seconds breath{0.0};
  for (const Level level : kEveryLevel) {
    const Block* block = blocks[index_of(level)];
    if (block == nullptr || layers.scale(level) <= 0.0) continue;
    const Beats past = end - block->span.end;
    if (past < -kSameMoment || past > kSameMoment) continue;
    breath = plan.tunings[block->tuning].breath(level) * layers.scale(level);
  }
  return breath;
}

// The gap of a written breath mark at the end of a note of the part.
Seconds written_breath(const BoundPlan& plan, std::size_t part, Beats end, const Tuning& tuning) {
  auto mark = std::ranges::lower_bound(plan.breaths, end - kSameMoment, {}, &BreathMark::at);
  for (; mark != plan.breaths.end() && mark->at <= end + kSameMoment; ++mark) {
    if (mark->parts[part]) return tuning.milliseconds(Constant::kBreathMark);
  }
  return {0.0};
}

std::optional<double> marked_share(MarkSet marks, const Tuning& tuning) {
  std::optional<double> shortest;
  if (marks.empty()) return shortest;
  // A dot under a dash is a portato: common practice, no source.
  if (marks.has(Mark::kStaccato) && marks.has(Mark::kTenuto)) {
    return sounding_share(Mark::kPortato, tuning);
  }
  for (const Mark mark : kEveryMark) {
    if (!marks.has(mark)) continue;
    const std::optional<double> share = sounding_share(mark, tuning);
    if (share && (!shortest || *share < *shortest)) shortest = share;
  }
  return shortest;
}

// Everything that decides the end of one note.
struct Ending {
  Seconds full;           // length from its onset to its full end
  Seconds written;        // to where the score's file ends it; a little shorter, maybe
  Seconds breath;         // by blocks and marks together
  bool joined = false;    // to a note that follows inside its motif
  bool repeated = false;  // its key strikes again where it ends
  bool tenuto = false;
  std::optional<double> share;  // of a mark
};

Seconds sounding_length(const Ending& ending, const Tuning& tuning, bool touch) {
  const Seconds most_breath = ending.full * tuning.share(Constant::kBreathShare);
  const Seconds breathing = ending.full - std::min(ending.breath, most_breath);
  if (!touch) return std::min(ending.written, breathing);
  if (ending.share) return std::min(ending.full * *ending.share, breathing);
  if (ending.tenuto) return ending.full;
  if (ending.repeated) {
    const Seconds gap = std::min(ending.full * (1.0 - tuning.share(Constant::kRepeat)),
                                 tuning.milliseconds(Constant::kLongestGap));
    return std::min(ending.full - gap, breathing);
  }
  if (ending.breath.value > 0.0) return breathing;
  if (!ending.joined) return ending.written;
  return ending.full + std::min(ending.full * tuning.share(Constant::kOverlap),
                                tuning.milliseconds(Constant::kLongestOverlap));
}

// `chord` from its lowest note up.
void roll(std::vector<PerformedNote>& notes, std::span<const std::size_t> chord,
          const Tuning& tuning) {
  if (chord.size() < 2) return;
  const auto length = [&](std::size_t note) { return notes[note].end - notes[note].onset; };
  Seconds shortest = length(chord.front());
  for (const std::size_t note : chord) shortest = std::min(shortest, length(note));
  const auto steps = static_cast<double>(chord.size() - 1);
  const Seconds whole =
      std::min({tuning.milliseconds(Constant::kArpeggio) * steps,
                tuning.milliseconds(Constant::kLongestArpeggio), shortest * (1.0 / 3.0)});
  for (std::size_t i = 1; i < chord.size(); ++i) {
    notes[chord[i]].onset += whole * (static_cast<double>(i) / steps);
  }
}

}  // namespace

void apply_lead(std::vector<PerformedNote>& notes, const Score& score, const BoundPlan& plan) {
  BlockFinder finder(plan);
  auto melody = plan.melody.begin();
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const Note& note = score.notes[i];
    if (plan.parts[note.part].role == Role::kMelody) continue;
    while (melody != plan.melody.end() && score.notes[*melody].onset < note.onset) ++melody;
    if (melody == plan.melody.end() || score.notes[*melody].onset != note.onset) continue;
    const Tuning& tuning = tuning_at(plan, finder.at(note.onset));
    const Seconds lead =
        melody_lead(notes[*melody].velocity, notes[i].velocity) * tuning.share(Constant::kLead);
    notes[i].onset += std::min(
        {lead, tuning.milliseconds(Constant::kLongestLead), (notes[i].end - notes[i].onset) * 0.5});
  }
}

void apply_arpeggios(std::vector<PerformedNote>& notes, const Score& score, const BoundPlan& plan) {
  if (plan.marks.empty()) return;
  std::vector<std::size_t> chord;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    if (!plan.marks_of(i).has(Mark::kArpeggio)) continue;
    const bool goes_on = !chord.empty() &&
                         score.notes[chord.front()].onset == score.notes[i].onset &&
                         score.notes[chord.front()].part == score.notes[i].part;
    if (!goes_on) {
      roll(notes, chord, plan.tuning());
      chord.clear();
    }
    chord.push_back(i);
  }
  roll(notes, chord, plan.tuning());
}

void apply_articulation(std::vector<PerformedNote>& notes, const Score& score,
                        const BoundPlan& plan, const TimeMap& time, const Layers& layers) {
  const std::vector<std::size_t> next = next_of_same_key(score);
  const std::vector<FullEnd> ends = full_ends(score, plan.tuning().share(Constant::kSlack));
  BlockFinder finder(plan);
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const Note& note = score.notes[i];
    const HoldingBlocks blocks = finder.at(note.onset);
    const Tuning& tuning = tuning_at(plan, blocks);
    const MarkSet marks = plan.marks_of(i);
    const Seconds struck = time.seconds_at(note.onset);
    const Block* motif = blocks[index_of(Level::kMotif)];
    Beats full_end = ends[i].at;
    Ending ending;
    ending.repeated = next[i] != kNone && score.notes[next[i]].onset <= full_end + kSameMoment;
    if (ending.repeated) full_end = std::min(full_end, score.notes[next[i]].onset);
    ending.full = time.seconds_at(full_end) - struck;
    ending.written = std::min(notes[i].end - struck, ending.full);
    ending.breath = breath_at_end(plan, blocks, full_end, layers);
    if (layers.touch) {
      ending.breath = std::max(ending.breath, written_breath(plan, note.part, full_end, tuning));
    }
    ending.joined =
        ends[i].followed && motif != nullptr && full_end < motif->span.end - kSameMoment;
    ending.tenuto = marks.has(Mark::kTenuto);
    ending.share = marked_share(marks, tuning);
    const Seconds length = sounding_length(ending, tuning, layers.touch);
    // A note that the melody's lead delays ends where it would have; a short one keeps its length.
    notes[i].end = ending.share ? notes[i].onset + length
                                : std::max(struck + length, notes[i].onset + length * 0.5);
  }
}

}  // namespace arsis
