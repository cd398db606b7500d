#include "take/alignment.h"

#include <algorithm>
#include <cassert>
#include <numeric>
#include <tuple>

#include "take/following.h"
#include "take/key_matching.h"
#include "take/moments.h"
#include "take/passages.h"

namespace arsis {
namespace {

constexpr Seconds kWindow{0.35};       // around where a note is due; chords are spread by 0.15
constexpr Seconds kWrongWindow{0.12};  // a wrong key falls with its chord
constexpr int kRounds = 2;             // matching, each by the times that the one before found
constexpr double kHeard = 0.5;         // share of a part's notes without which it may not be played
constexpr std::size_t kMostHands = 8;  // more parts are no piano music; then all are played
constexpr double kBetter = 0.02;       // what a part alone has to be better by than all

// What was found in one passage.
struct Matched {
  PlayedPassage passage;
  std::vector<IndexPair> pairs;  // note of the score, played note
  std::vector<IndexPair> wrong;
};

std::vector<TimedNote> due_notes(const Score& score, const Moments& moments,
                                 const PlayedPassage& passage) {
  std::vector<TimedNote> due;
  for (std::uint32_t m = passage.first_moment; m <= passage.last_moment; ++m) {
    const Moment& moment = moments.all[m];
    const Seconds at = seconds_at(passage.curve, moment.beat);
    for (const std::uint32_t note : moments.notes_of(moment)) {
      due.push_back({at, score.notes[note].key, note});
    }
  }
  return due;
}

std::vector<TimedNote> played_notes(const Take& take, const PlayedPassage& passage) {
  std::vector<TimedNote> played;
  for (std::uint32_t i = passage.first_played; i < passage.end_played; ++i) {
    played.push_back({take.notes[i].onset, take.notes[i].key, i});
  }
  return played;
}

void sort_by_key(std::vector<TimedNote>& notes) {
  std::ranges::stable_sort(notes, [](const TimedNote& a, const TimedNote& b) {
    return std::tuple(a.key, a.at) < std::tuple(b.key, b.at);
  });
}

void refine_curve(const Score& score, const Take& take, Matched& matched) {
  std::vector<Sounding> soundings;
  for (const IndexPair& pair : matched.pairs) {
    soundings.push_back({score.notes[pair.due].onset, take.notes[pair.played].onset});
  }
  std::ranges::stable_sort(soundings, {}, &Sounding::beat);
  std::vector<TimeMap::Knot> curve = curve_of(soundings);
  if (!curve.empty()) matched.passage.curve = std::move(curve);
}

// Those notes that no pair has, by time.
std::vector<TimedNote> left_of(std::vector<TimedNote> notes, std::vector<std::uint32_t> taken) {
  std::ranges::sort(taken);
  std::erase_if(
      notes, [&](const TimedNote& note) { return std::ranges::binary_search(taken, note.index); });
  std::ranges::stable_sort(notes, {}, &TimedNote::at);
  return notes;
}

Matched match(const Score& score, const Moments& moments, const Take& take, PlayedPassage passage) {
  Matched matched{std::move(passage), {}, {}};
  std::vector<TimedNote> played = played_notes(take, matched.passage);
  sort_by_key(played);
  std::vector<TimedNote> due;
  for (int round = 0; round < kRounds; ++round) {
    due = due_notes(score, moments, matched.passage);
    sort_by_key(due);
    matched.pairs = match_keys(due, played, kWindow);
    refine_curve(score, take, matched);
  }
  std::vector<std::uint32_t> due_taken;
  std::vector<std::uint32_t> played_taken;
  for (const IndexPair& pair : matched.pairs) {
    due_taken.push_back(pair.due);
    played_taken.push_back(pair.played);
  }
  matched.wrong = match_wrong(left_of(std::move(due), std::move(due_taken)),
                              left_of(std::move(played), std::move(played_taken)), kWrongWindow);
  return matched;
}

// Puts together what was found, passage after passage.
class Collector {
 public:
  Collector(const Score& score, const Take& take, const Moments& moments)
      : score_(score),
        moments_(moments),
        state_(score.notes.size(), State::kOmitted),
        partner_(score.notes.size(), 0),
        used_(take.notes.size(), false),
        last_(moments.all.size(), kNone) {}

  void add(const std::vector<Matched>& matched) {
    for (std::uint32_t p = 0; p < matched.size(); ++p) {
      const PlayedPassage& passage = matched[p].passage;
      add_stretch(passage);
      for (std::uint32_t m = passage.first_moment; m <= passage.last_moment; ++m) last_[m] = p;
    }
    for (std::uint32_t m = 0; m < last_.size(); ++m) {
      if (last_[m] == kNone) continue;
      for (const std::uint32_t note : moments_.notes_of(moments_.all[m])) {
        state_[note] = State::kMissing;
      }
    }
    for (std::uint32_t p = 0; p < matched.size(); ++p) add_pairs(matched[p], p);
  }

  Alignment take_result() {
    find_doubled();
    for (std::uint32_t note = 0; note < state_.size(); ++note) {
      switch (state_[note]) {
        case State::kPaired:
          result_.pairs.push_back({note, partner_[note]});
          break;
        case State::kWrong:
          result_.wrong.push_back({note, partner_[note]});
          break;
        case State::kMissing:
          result_.missing.push_back(note);
          break;
        case State::kDoubled:
          result_.doubled.push_back(note);
          break;
        case State::kOmitted:
          result_.omitted.push_back(note);
          break;
      }
    }
    for (std::uint32_t i = 0; i < used_.size(); ++i) {
      if (!used_[i]) result_.extra.push_back(i);
    }
    std::ranges::sort(result_.earlier);
    result_.fit = fit();
    return std::move(result_);
  }

 private:
  enum class State : std::uint8_t { kOmitted, kMissing, kPaired, kWrong, kDoubled };
  static constexpr std::uint32_t kNone = 0xFFFFFFFF;

  void add_stretch(const PlayedPassage& passage) {
    PlayedStretch stretch;
    const std::uint32_t next = passage.last_moment + 1;
    stretch.score = {moments_.all[passage.first_moment].beat,
                     next < moments_.all.size() ? moments_.all[next].beat : score_.end()};
    stretch.first_played = passage.first_played;
    stretch.end_played = passage.end_played;
    stretch.curve = passage.curve;
    stretch.again = {stretch.score.begin, stretch.score.begin};
    bool any = false;
    for (std::uint32_t m = passage.first_moment; m <= passage.last_moment; ++m) {
      if (last_[m] == kNone) continue;
      if (!any) stretch.again.begin = moments_.all[m].beat;
      any = true;
      stretch.again.end = m + 1 < moments_.all.size() ? moments_.all[m + 1].beat : score_.end();
    }
    result_.stretches.push_back(std::move(stretch));
  }

  // Whether the passage was the last one to play the note.
  bool counts(std::uint32_t note, std::uint32_t passage) const {
    const auto at =
        std::ranges::lower_bound(moments_.all, score_.notes[note].onset, {}, &Moment::beat);
    return last_[static_cast<std::size_t>(at - moments_.all.begin())] == passage;
  }

  void add_pairs(const Matched& matched, std::uint32_t passage) {
    for (const IndexPair& pair : matched.pairs) {
      used_[pair.played] = true;
      if (counts(pair.due, passage)) {
        state_[pair.due] = State::kPaired;
        partner_[pair.due] = pair.played;
      } else {
        result_.earlier.push_back({pair.due, pair.played});
      }
    }
    for (const IndexPair& pair : matched.wrong) {
      if (!counts(pair.due, passage)) continue;
      used_[pair.played] = true;
      state_[pair.due] = State::kWrong;
      partner_[pair.due] = pair.played;
    }
  }

  // A note that another part has too, at the same moment, needs no second strike.
  void find_doubled() {
    for (const Moment& moment : moments_.all) {
      const std::span<const std::uint32_t> notes = moments_.notes_of(moment);
      for (std::size_t i = 1; i < notes.size(); ++i) {
        if (score_.notes[notes[i]].key != score_.notes[notes[i - 1]].key) continue;
        State& first = state_[notes[i - 1]];
        State& second = state_[notes[i]];
        if (first == State::kPaired && second == State::kMissing) second = State::kDoubled;
        if (second == State::kPaired && first == State::kMissing) first = State::kDoubled;
      }
    }
  }

  // A few notes can be found together in any long piece: for each jump they do not count.
  double fit() const {
    constexpr double kFoundByChance = 6.0;
    const auto count = [](const auto& list) { return static_cast<double>(list.size()); };
    const double found = count(result_.pairs) + count(result_.earlier);
    const double jumps = std::max(1.0, count(result_.stretches)) - 1.0;
    const double written = found + count(result_.missing) + count(result_.wrong);
    const double agreed = std::max(0.0, found - kFoundByChance * jumps);
    return agreed == 0.0 ? 0.0 : 2.0 * agreed / (count(used_) + written);
  }

  const Score& score_;
  const Moments& moments_;
  std::vector<State> state_;            // of each note of the score
  std::vector<std::uint32_t> partner_;  // its played note
  std::vector<bool> used_;              // each played note
  std::vector<std::uint32_t> last_;     // the last passage that each moment was played in
  Alignment result_;
};

// Those of the score's notes that are asked for; empty: all.
Alignment align_notes(const Score& score, const Take& take, const std::vector<bool>& asked) {
  const Moments moments = moments_of(score, asked);
  const std::vector<Step> steps = follow(moments, take.notes);
  std::vector<Matched> matched;
  for (PlayedPassage& passage : passages_of(moments, take.notes, steps)) {
    matched.push_back(match(score, moments, take, std::move(passage)));
  }
  Collector collector(score, take, moments);
  collector.add(matched);
  return collector.take_result();
}

// Whether of each part that is written where it was played, enough was found.
bool hears_all(const Score& score, const Alignment& alignment) {
  std::vector<std::uint32_t> found(score.parts.size());
  std::vector<std::uint32_t> written(score.parts.size());
  for (const NotePair& pair : alignment.pairs) ++found[score.notes[pair.score].part];
  for (const std::uint32_t note : alignment.missing) ++written[score.notes[note].part];
  for (const NotePair& pair : alignment.wrong) ++written[score.notes[pair.score].part];
  for (std::size_t part = 0; part < found.size(); ++part) {
    written[part] += found[part];
    if (found[part] < kHeard * written[part]) return false;
  }
  return !alignment.pairs.empty();
}

void try_each_part(const Score& score, const Take& take, Alignment& best) {
  double to_beat = best.fit + kBetter;
  for (std::size_t part = 0; part < score.parts.size(); ++part) {
    std::vector<bool> asked;
    for (const Note& note : score.notes) asked.push_back(note.part == part);
    Alignment alone = align_notes(score, take, asked);
    if (alone.fit <= to_beat) continue;
    best = std::move(alone);
    best.parts.assign(score.parts.size(), false);
    best.parts[part] = true;
    to_beat = best.fit;
  }
}

// A score of one part may hold both hands all the same: then only the notes in the compass of the
// take are looked for, if that leaves out enough to matter.
void try_compass(const Score& score, const Take& take, Alignment& best) {
  constexpr std::size_t kStrays = 50;  // one note in so many, at either end, may be a slip
  constexpr double kMatters = 0.1;     // share of the score's notes
  if (take.notes.empty()) return;
  std::vector<std::uint8_t> keys;
  for (const PlayedNote& note : take.notes) keys.push_back(note.key);
  std::ranges::sort(keys);
  const std::size_t strays = keys.size() / kStrays;
  const std::uint8_t lowest = keys[strays];
  const std::uint8_t highest = keys[keys.size() - 1 - strays];
  std::vector<bool> asked;
  for (const Note& note : score.notes) asked.push_back(lowest <= note.key && note.key <= highest);
  const auto outside = static_cast<double>(std::ranges::count(asked, false));
  if (outside < kMatters * static_cast<double>(asked.size())) return;
  Alignment within = align_notes(score, take, asked);
  if (within.fit <= best.fit + kBetter) return;
  within.parts = best.parts;
  best = std::move(within);
}

}  // namespace

Alignment align(const Score& score, const Take& take) {
  assert(std::ranges::is_sorted(take.notes, {}, &PlayedNote::onset));
  const std::size_t parts = score.parts.size();
  Alignment best = align_notes(score, take, {});
  best.parts.assign(parts, true);
  if (parts < 2) {
    try_compass(score, take, best);
  } else if (parts <= kMostHands && !hears_all(score, best)) {
    try_each_part(score, take, best);
  }
  return best;
}

std::vector<std::pair<std::uint32_t, std::uint32_t>> numbered_pairs(const Score& score,
                                                                    const Alignment& alignment) {
  std::vector<std::uint32_t> order(score.notes.size());
  std::iota(order.begin(), order.end(), 0u);
  std::ranges::stable_sort(order, [&](std::uint32_t a, std::uint32_t b) {
    return std::tuple(score.notes[a].onset, score.notes[a].key) <
           std::tuple(score.notes[b].onset, score.notes[b].key);
  });
  std::vector<std::uint32_t> number(order.size());
  for (std::uint32_t i = 0; i < order.size(); ++i) number[order[i]] = i;
  std::vector<std::pair<std::uint32_t, std::uint32_t>> pairs;
  for (const NotePair& pair : alignment.pairs) pairs.emplace_back(number[pair.score], pair.played);
  std::ranges::sort(pairs);
  return pairs;
}

}  // namespace arsis
