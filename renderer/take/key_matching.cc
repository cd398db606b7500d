#include "take/key_matching.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <tuple>

namespace arsis {
namespace {

constexpr std::size_t kMostChoices = 64;

// The table of one key: row i is what can be gained with the first i due notes and the first j
// played ones, for the j of its window. A pair gains the more, the nearer it is, and always enough
// that two pairs are better than one.
class KeyTable {
 public:
  KeyTable(std::span<const TimedNote> due, std::span<const TimedNote> played, Seconds window)
      : due_(due), played_(played), window_(window) {
    rows_.push_back({0, {0.0}});
    std::size_t begin = 0;
    for (std::size_t i = 0; i < due_.size(); ++i) {
      while (begin < played_.size() && played_[begin].at < due_[i].at - window_) ++begin;
      add_row(i, begin);
    }
  }

  void trace(std::vector<IndexPair>& pairs) const {
    const std::size_t old = pairs.size();
    std::size_t j = played_.size();
    for (std::size_t i = due_.size(); i > 0; --i) {
      const Row& row = rows_[i];
      j = std::min(j, row.first + row.gains.size() - 1);
      while (j > row.first && row.gains[j - row.first] == row.gains[j - row.first - 1]) --j;
      if (j <= row.first || row.gains[j - row.first] == gain_before(i, j)) continue;
      pairs.push_back({due_[i - 1].index, played_[j - 1].index});
      --j;
    }
    std::reverse(pairs.begin() + static_cast<std::ptrdiff_t>(old), pairs.end());
  }

 private:
  struct Row {
    std::size_t first = 0;      // played notes before its window
    std::vector<double> gains;  // with that many, and one more each
  };

  // Of row i - 1, with j played notes.
  double gain_before(std::size_t i, std::size_t j) const {
    const Row& row = rows_[i - 1];
    if (j < row.first) return 0.0;  // never asked: windows move on
    return row.gains[std::min(j - row.first, row.gains.size() - 1)];
  }

  void add_row(std::size_t i, std::size_t begin) {
    Row row{begin, {gain_before(i + 1, begin)}};
    const std::size_t end = std::min(played_.size(), begin + kMostChoices);
    for (std::size_t j = begin; j < end && played_[j].at <= due_[i].at + window_; ++j) {
      // A pair at the window's edge still counts more than half of one without error.
      const double apart = std::abs((played_[j].at - due_[i].at).value) / window_.value;
      const double paired = gain_before(i + 1, j) + kPair - apart * apart;
      row.gains.push_back(std::max({gain_before(i + 1, j + 1), row.gains.back(), paired}));
    }
    rows_.push_back(std::move(row));
  }

  static constexpr double kPair = 2.0;

  std::span<const TimedNote> due_;
  std::span<const TimedNote> played_;
  Seconds window_;
  std::vector<Row> rows_;
};

// The stretch of one key at the beginning of a list.
std::size_t length_of_key(std::span<const TimedNote> notes, std::uint8_t key) {
  const auto end = std::ranges::upper_bound(notes, key, {}, &TimedNote::key);
  return static_cast<std::size_t>(end - notes.begin());
}

}  // namespace

std::vector<IndexPair> match_keys(std::span<const TimedNote> due, std::span<const TimedNote> played,
                                  Seconds window) {
  std::vector<IndexPair> pairs;
  while (!due.empty() && !played.empty()) {
    const std::uint8_t key = std::min(due.front().key, played.front().key);
    const std::size_t of_due = length_of_key(due, key);
    const std::size_t of_played = length_of_key(played, key);
    KeyTable(due.first(of_due), played.first(of_played), window).trace(pairs);
    due = due.subspan(of_due);
    played = played.subspan(of_played);
  }
  return pairs;
}

std::vector<IndexPair> match_wrong(std::span<const TimedNote> due,
                                   std::span<const TimedNote> played, Seconds window) {
  constexpr int kMostApart = 12;      // an octave's slip
  constexpr double kSemitone = 0.01;  // seconds that weigh as much: the next key is the likeliest
  struct Candidate {
    double cost;
    std::size_t due;
    std::size_t played;
  };
  std::vector<Candidate> candidates;
  std::size_t begin = 0;
  for (std::size_t i = 0; i < due.size(); ++i) {
    while (begin < played.size() && played[begin].at < due[i].at - window) ++begin;
    const std::size_t end = std::min(played.size(), begin + kMostChoices);
    for (std::size_t j = begin; j < end && played[j].at <= due[i].at + window; ++j) {
      const int apart = std::abs(due[i].key - played[j].key);
      if (apart == 0 || apart > kMostApart) continue;
      candidates.push_back({std::abs((played[j].at - due[i].at).value) + kSemitone * apart, i, j});
    }
  }
  std::ranges::sort(candidates, [](const Candidate& a, const Candidate& b) {
    return std::tuple(a.cost, a.due, a.played) < std::tuple(b.cost, b.due, b.played);
  });
  std::vector<bool> due_taken(due.size());
  std::vector<bool> played_taken(played.size());
  std::vector<IndexPair> pairs;
  for (const Candidate& candidate : candidates) {
    if (due_taken[candidate.due] || played_taken[candidate.played]) continue;
    due_taken[candidate.due] = played_taken[candidate.played] = true;
    pairs.push_back({due[candidate.due].index, played[candidate.played].index});
  }
  return pairs;
}

}  // namespace arsis
