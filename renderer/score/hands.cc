#include "score/hands.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <optional>
#include <span>
#include <tuple>

namespace arsis {
namespace {

constexpr int kKeys = 128;
constexpr int kLines = kKeys + 1;         // keys at or above a line are the right hand's
constexpr std::size_t kStretch = 50'000;  // moments that are decided at once
constexpr int kReach = 16;                // semitones, a major tenth
constexpr int kFingers = 5;
constexpr int kClose = 7;             // semitones; keys nearer than a fifth lie together
constexpr double kFarCost = 1.0;      // a semitone past the reach
constexpr double kFingerCost = 2.0;   // a key past the fingers
constexpr double kTearCost = 0.04;    // a semitone nearer than kClose across the line
constexpr double kOctaveCost = 0.1;   // of an octave across the line
constexpr double kUnevenCost = 0.03;  // a key that one hand has more than the other
constexpr double kHomeCost = 0.02;    // a semitone from the middle of the piece
constexpr double kMoveCost = 0.15;    // a semitone that the line moves, within a quarter
constexpr double kTwoHandedShare = 0.1;
constexpr std::size_t kFewestTwoHanded = 4;  // moments
constexpr double kHeldShare = 0.25;          // the end of a note that may be a legato

using Costs = std::array<double, kLines>;
using Origins = std::array<std::uint8_t, kLines>;
static_assert(kLines <= 256);

// Indices into Score::notes, in order.
using NoteList = std::vector<std::size_t>;

// What sounds when some notes of the part begin.
struct Moment {
  Beats at;
  NoteList notes;             // that begin
  std::vector<int> sounding;  // keys in rising order, those that begin included
};

NoteList notes_of(const Score& score, std::size_t part) {
  NoteList notes;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    if (score.notes[i].part == part) notes.push_back(i);
  }
  return notes;
}

// Goes through the moments of a part's notes in order.
template <class Visit>
void each_moment(const Score& score, const NoteList& notes, const Visit& visit) {
  std::array<Beats, kKeys> until;
  until.fill(Beats{-1.0});
  Moment moment;
  for (std::size_t i = 0; i < notes.size();) {
    moment.at = score.notes[notes[i]].onset;
    moment.notes.clear();
    for (; i < notes.size() && score.notes[notes[i]].onset == moment.at; ++i) {
      const Note& note = score.notes[notes[i]];
      moment.notes.push_back(notes[i]);
      until[note.key] = note.end - note.length() * kHeldShare;
    }
    moment.sounding.clear();
    for (int key = 0; key < kKeys; ++key) {
      if (until[static_cast<std::size_t>(key)] > moment.at) moment.sounding.push_back(key);
    }
    visit(moment);
  }
}

bool is_two_handed(const std::vector<int>& keys) {
  return keys.back() - keys.front() > kReach || keys.size() > std::size_t{kFingers};
}

double hand_cost(std::span<const int> keys) {
  if (keys.empty()) return 0.0;
  const int over = keys.back() - keys.front() - kReach;
  const int spare = static_cast<int>(keys.size()) - kFingers;
  return kFarCost * std::max(over, 0) + kFingerCost * std::max(spare, 0);
}

// What tears keys apart that lie close, or that are an octave of one hand.
double tear_cost(int below, int above) {
  const int gap = above - below;
  return gap == kOctave ? kOctaveCost : kTearCost * std::max(0, kClose - gap);
}

// The middle of the widest gap between keys, octaves left aside, in the mean of the moments that
// take two hands; none where no moment does.
std::optional<double> home_of(const Score& score, const NoteList& notes) {
  double sum = 0.0;
  double count = 0.0;
  each_moment(score, notes, [&](const Moment& moment) {
    const std::vector<int>& keys = moment.sounding;
    if (!is_two_handed(keys)) return;
    int widest = 0;
    int middle = keys.front() + keys.back();  // twice the middle
    for (std::size_t i = 1; i < keys.size(); ++i) {
      const int gap = keys[i] - keys[i - 1];
      if (gap <= widest || gap == kOctave) continue;
      widest = gap;
      middle = keys[i - 1] + keys[i] + 1;
    }
    sum += middle / 2.0;
    count += 1.0;
  });
  return count > 0.0 ? std::optional(sum / count) : std::nullopt;
}

class Parting {
 public:
  explicit Parting(std::optional<double> home) : home_(home) {}

  void meet(const Moment& moment, const Score& score, std::vector<bool>& right) {
    Origins origins{};
    if (begun_) move(moment.at - last_, origins);
    begun_ = true;
    last_ = moment.at;
    add(moment.sounding);
    origins_.push_back(origins);
    notes_.push_back(moment.notes);
    if (origins_.size() == kStretch) decide(score, right);
  }

  // Decides all that is not decided yet, and goes on from there.
  void decide(const Score& score, std::vector<bool>& right) {
    if (origins_.empty()) return;
    const auto best = static_cast<std::size_t>(std::ranges::min_element(costs_) - costs_.begin());
    std::size_t line = best;
    for (std::size_t i = origins_.size(); i-- > 0;) {
      for (const std::size_t note : notes_[i]) right[note] = score.notes[note].key >= line;
      line = origins_[i][line];
    }
    for (std::size_t i = 0; i < costs_.size(); ++i) {
      costs_[i] = kMoveCost * std::abs(static_cast<double>(i) - static_cast<double>(best));
    }
    origins_.clear();
    notes_.clear();
  }

 private:
  // The cheapest way to each line from any other, which costs by the distance, less after a pause.
  void move(Beats pause, Origins& origins) {
    const double step = kMoveCost / std::max(1.0, pause.value);
    for (std::size_t i = 0; i < origins.size(); ++i) origins[i] = static_cast<std::uint8_t>(i);
    const auto pass = [&](std::size_t to, std::size_t from) {
      if (costs_[from] + step >= costs_[to]) return;
      costs_[to] = costs_[from] + step;
      origins[to] = origins[from];
    };
    for (std::size_t i = 1; i < origins.size(); ++i) pass(i, i - 1);
    for (std::size_t i = origins.size() - 1; i-- > 0;) pass(i, i + 1);
  }

  // What it costs to draw each line through the keys that sound.
  void add(const std::vector<int>& keys) {
    std::size_t below = 0;
    for (std::size_t line = 0; line < costs_.size(); ++line) {
      while (below < keys.size() && keys[below] < static_cast<int>(line)) ++below;
      const std::span<const int> all(keys);
      costs_[line] += hand_cost(all.first(below)) + hand_cost(all.subspan(below));
      if (below > 0 && below < keys.size()) {
        const auto uneven = static_cast<double>(keys.size()) - 2.0 * static_cast<double>(below);
        costs_[line] += tear_cost(keys[below - 1], keys[below]) + kUnevenCost * std::abs(uneven);
      } else if (home_) {  // one hand has it all: which one, the rest of the piece tells
        costs_[line] += kHomeCost * std::abs(static_cast<double>(line) - *home_);
      }
    }
  }

  std::optional<double> home_;
  bool begun_ = false;
  Beats last_;
  Costs costs_{};
  std::vector<Origins> origins_;  // of each moment not decided yet: where the line came from
  std::vector<NoteList> notes_;
};

void part_hands(const Score& score, const NoteList& notes, std::vector<bool>& right) {
  Parting parting(home_of(score, notes));
  each_moment(score, notes, [&](const Moment& moment) { parting.meet(moment, score, right); });
  parting.decide(score, right);
}

}  // namespace

bool needs_two_hands(const Score& score, std::size_t part) {
  if (!is_pitched(score.parts[part])) return false;
  std::size_t moments = 0;
  std::size_t two_handed = 0;
  each_moment(score, notes_of(score, part), [&](const Moment& moment) {
    ++moments;
    two_handed += is_two_handed(moment.sounding) ? 1 : 0;
  });
  return two_handed >= kFewestTwoHanded &&
         static_cast<double>(two_handed) >= kTwoHandedShare * static_cast<double>(moments);
}

std::vector<bool> right_hand_notes(const Score& score, std::size_t part) {
  std::vector<bool> right(score.notes.size());
  part_hands(score, notes_of(score, part), right);
  return right;
}

Score with_hands(Score score, const std::vector<bool>& parts) {
  std::vector<NoteList> notes(score.parts.size());
  for (std::size_t i = 0; i < score.notes.size(); ++i) notes[score.notes[i].part].push_back(i);
  std::vector<bool> right(score.notes.size());
  std::vector<Part> made;
  for (std::size_t part = 0; part < notes.size(); ++part) {
    if (parts[part]) part_hands(score, notes[part], right);
    for (const Hand hand : {Hand::kRight, Hand::kLeft}) {
      const bool is_right = hand == Hand::kRight;
      const auto index = static_cast<std::uint16_t>(made.size());
      bool any = false;
      for (const std::size_t note : notes[part]) {
        if (right[note] != is_right) continue;
        score.notes[note].part = index;
        any = true;
      }
      if (!any) continue;
      made.push_back(score.parts[part]);
      if (parts[part]) made.back().hand = hand;
    }
  }
  score.parts = std::move(made);
  std::ranges::stable_sort(score.notes, {}, [](const Note& note) {
    return std::tuple(note.onset, note.part, note.key);
  });
  return score;
}

}  // namespace arsis
