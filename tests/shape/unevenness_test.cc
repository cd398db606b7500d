// The small unevenness of a hand: repeatable, of the spread that the table says, never louder.
#include "shape/unevenness.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "shape/bound.h"
#include "shape/perform.h"

namespace arsis {
namespace {

std::vector<PerformedNote> even_notes() {
  std::vector<PerformedNote> notes;
  for (int i = 0; i < 20'000; ++i) notes.push_back({{1.0 + i}, {1.9 + i}, Velocity{}});
  return notes;
}

TEST(Unevenness, SpreadsOnsetsAsTheTableSays) {
  const Tuning tuning;
  std::vector<PerformedNote> notes = even_notes();
  apply_uneven_onsets(notes, 7, tuning);
  double sum = 0.0;
  double squares = 0.0;
  double most = 0.0;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const double shift = notes[i].onset.value - (1.0 + static_cast<double>(i));
    sum += shift;
    squares += shift * shift;
    most = std::max(most, std::abs(shift));
  }
  const auto count = static_cast<double>(notes.size());
  EXPECT_NEAR(sum / count, 0.0, 1e-4);
  EXPECT_NEAR(std::sqrt(squares / count), 0.003, 0.0002);
  EXPECT_LE(most, 2.5 * 0.003 + 1e-12);
}

TEST(Unevenness, ShiftsAShortNoteByAQuarterOfItAtMostAndNoneBeforeTheStart) {
  const Tuning tuning;
  for (std::uint64_t seed = 0; seed < 200; ++seed) {
    std::vector<PerformedNote> notes = {{{0.0}, {0.5}, Velocity{}}, {{1.0}, {1.002}, Velocity{}}};
    apply_uneven_onsets(notes, seed, tuning);
    EXPECT_GE(notes[0].onset.value, 0.0);
    EXPECT_NEAR(notes[1].onset.value, 1.0, 0.0005 + 1e-12);
  }
}

TEST(Unevenness, OnlySoftens) {
  const Tuning tuning;
  std::vector<NoteLevel> levels(10'000);
  apply_uneven_levels(levels, 3, tuning);
  double squares = 0.0;
  for (const NoteLevel& level : levels) {
    EXPECT_LE(level.level.value, 0.0);
    squares += level.level.value * level.level.value;
  }
  EXPECT_NEAR(std::sqrt(squares / 10'000.0), 0.5, 0.03);
}

TEST(Unevenness, IsTheSameForTheSameSeedAndOtherForAnother) {
  const Tuning tuning;
  std::vector<PerformedNote> a = even_notes();
  std::vector<PerformedNote> b = even_notes();
  std::vector<PerformedNote> c = even_notes();
  apply_uneven_onsets(a, 1, tuning);
  apply_uneven_onsets(b, 1, tuning);
  apply_uneven_onsets(c, 2, tuning);
  EXPECT_EQ(a[100].onset, b[100].onset);
  EXPECT_NE(a[100].onset, c[100].onset);
}

TEST(Unevenness, IsHeardOnlyWithASeed) {
  const Score score = test::score_of(test::repeated("C5 D5 E5 F5", 4));
  const BoundPlan plan = test::bound(
      score, "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u u u /], main: 1}]\n");
  Layers seeded;
  seeded.seed = 5;
  const Shaped even = perform(score, plan);
  const Shaped uneven = perform(score, plan, seeded);
  const Shaped again = perform(score, plan, seeded);
  std::size_t moved = 0;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const Seconds onset = even.performance.notes[i].onset;
    EXPECT_EQ(onset, even.performance.time.seconds_at(score.notes[i].onset));
    EXPECT_EQ(uneven.performance.notes[i].onset, again.performance.notes[i].onset);
    EXPECT_LE(uneven.levels[i].level, even.levels[i].level);
    if (uneven.performance.notes[i].onset != onset) ++moved;
  }
  EXPECT_GE(moved, score.notes.size() - 1);  // the first may be held at 0
}

}  // namespace
}  // namespace arsis
