// Notes of one key paired by time: against all ways to do it, on small lists.
#include "take/key_matching.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <tuple>
#include <vector>

#include "property.h"

namespace arsis {
namespace {

using Pairs = std::vector<IndexPair>;

std::vector<TimedNote> notes_at(const std::vector<double>& times, std::uint8_t key = 60) {
  std::vector<TimedNote> notes;
  for (const double at : times) {
    notes.push_back({{at}, key, static_cast<std::uint32_t>(notes.size())});
  }
  return notes;
}

constexpr Seconds kWindow{0.36};

TEST(KeyMatching, PairsByTimeNotByOrder) {
  // The second of four is left out.
  EXPECT_EQ(match_keys(notes_at({0.0, 0.2, 0.4, 0.6}), notes_at({0.01, 0.41, 0.58}), kWindow),
            (Pairs{{0, 0}, {2, 1}, {3, 2}}));
}

TEST(KeyMatching, PairsNothingOutsideTheWindow) {
  EXPECT_TRUE(match_keys(notes_at({1.0}), notes_at({0.63, 1.37}), kWindow).empty());
  EXPECT_EQ(match_keys(notes_at({1.0}), notes_at({0.65}), kWindow).size(), 1u);
}

TEST(KeyMatching, KeepsKeysApart) {
  std::vector<TimedNote> due = notes_at({1.0}, 60);
  due.push_back({{1.0}, 62, 7});
  std::vector<TimedNote> played = notes_at({1.0}, 61);
  played.push_back({{1.1}, 62, 9});
  EXPECT_EQ(match_keys(due, played, kWindow), (Pairs{{7, 9}}));
}

// What pairs are worth: as match_keys() promises, most pairs first, then nearest.
double worth(const std::vector<TimedNote>& due, const std::vector<TimedNote>& played,
             const Pairs& pairs) {
  double sum = 0.0;
  for (const IndexPair& pair : pairs) {
    const double apart = (played[pair.played].at - due[pair.due].at) / kWindow;
    sum += 2.0 - apart * apart;
  }
  return sum;
}

double best_worth(const std::vector<TimedNote>& due, const std::vector<TimedNote>& played,
                  std::size_t i, std::size_t j) {
  if (i == due.size() || j == played.size()) return 0.0;
  double best = std::max(best_worth(due, played, i + 1, j), best_worth(due, played, i, j + 1));
  const double apart = (played[j].at - due[i].at) / kWindow;
  if (std::abs(apart) <= 1.0) {
    best = std::max(best, 2.0 - apart * apart + best_worth(due, played, i + 1, j + 1));
  }
  return best;
}

std::vector<TimedNote> random_notes() {
  std::vector<double> times;
  for (int i = *rc::gen::inRange(0, 7); i > 0; --i)
    times.push_back(*rc::gen::inRange(0, 31) / 20.0);
  std::ranges::sort(times);
  return notes_at(times);
}

TEST(KeyMatching, IsTheBestThereIs) {
  EXPECT_TRUE(test::holds(5'000, [] {
    const std::vector<TimedNote> due = random_notes();
    const std::vector<TimedNote> played = random_notes();
    const Pairs pairs = match_keys(due, played, kWindow);
    for (std::size_t i = 1; i < pairs.size(); ++i) {
      RC_ASSERT(pairs[i - 1].due < pairs[i].due);
      RC_ASSERT(pairs[i - 1].played < pairs[i].played);
    }
    RC_ASSERT(std::abs(worth(due, played, pairs) - best_worth(due, played, 0, 0)) < 1e-9);
  }));
}

TEST(KeyMatching, OfManyNotesAtOneMomentIsBounded) {
  // Nobody plays so; a file may hold it.
  const std::vector<double> many(20'000, 1.0);
  EXPECT_GE(match_keys(notes_at(many), notes_at(many), kWindow).size(), 1u);
}

TEST(WrongNotes, AreTheNearestInTimeAndPitch) {
  std::vector<TimedNote> due = notes_at({1.0}, 60);
  std::vector<TimedNote> played = {{{0.95}, 66, 0}, {{1.01}, 61, 1}, {{1.01}, 74, 2}};
  EXPECT_EQ(match_wrong(due, played, {0.12}), (Pairs{{0, 1}}));
  due[0].key = 90;  // an octave is as far as a slip goes
  EXPECT_TRUE(match_wrong(due, played, {0.12}).empty());
}

TEST(WrongNotes, StandForOneNoteEach) {
  const std::vector<TimedNote> due = {{{1.0}, 60, 0}, {{1.0}, 64, 1}};
  const std::vector<TimedNote> played = {{{1.0}, 63, 5}};
  EXPECT_EQ(match_wrong(due, played, {0.12}), (Pairs{{1, 5}}));
}

}  // namespace
}  // namespace arsis
