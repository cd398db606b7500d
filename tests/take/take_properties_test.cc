// What holds of every alignment: each note has one place, whatever the take; the tempo of a take
// does not matter.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "property.h"
#include "score_builder.h"
#include "shape/random_music.h"
#include "take/alignment.h"
#include "take/disturbed.h"

namespace arsis {
namespace {

Score random_score() {
  test::ScoreText text;
  const int quarters = test::any(4, 40);
  text.parts = {test::random_line(quarters, 5), test::random_line(quarters, 3)};
  text.tempo = test::random_tempo(quarters);
  Score score = test::score_of(text);
  RC_PRE(!score.notes.empty());
  return score;
}

// Anything: notes at random, close or far, some of them many times over.
Take random_take() {
  Take take;
  double at = 0.0;
  for (int i = test::any(0, 80); i > 0; --i) {
    at += test::any(0, 3) == 0 ? 0.0 : test::any(0, 1000) / 1000.0;
    const auto key = static_cast<std::uint8_t>(test::any(0, 4) == 0 ? 72 : test::any(0, 128));
    take.notes.push_back({{at}, {at + 0.1}, key, Velocity{}});
  }
  return take;
}

void check_places(const Score& score, const Take& take, const Alignment& alignment) {
  std::vector<int> written(score.notes.size(), 0);
  std::vector<int> played(take.notes.size(), 0);
  for (const std::vector<NotePair>* pairs : {&alignment.pairs, &alignment.wrong}) {
    for (const NotePair& pair : *pairs) {
      ++written.at(pair.score);
      ++played.at(pair.played);
    }
  }
  for (const NotePair& pair : alignment.earlier) ++played.at(pair.played);
  for (const auto* notes : {&alignment.missing, &alignment.doubled, &alignment.omitted}) {
    for (const std::uint32_t note : *notes) ++written.at(note);
  }
  for (const std::uint32_t note : alignment.extra) ++played.at(note);
  RC_ASSERT(std::ranges::all_of(written, [](int count) { return count == 1; }));
  RC_ASSERT(std::ranges::all_of(played, [](int count) { return count == 1; }));
  for (const NotePair& pair : alignment.pairs) {
    RC_ASSERT(score.notes[pair.score].key == take.notes[pair.played].key);
  }
  RC_ASSERT(alignment.fit >= 0.0 && alignment.fit <= 1.0);
}

void check_stretches(const Take& take, const Alignment& alignment) {
  std::uint32_t next = 0;
  for (const PlayedStretch& stretch : alignment.stretches) {
    RC_ASSERT(stretch.first_played == next);
    RC_ASSERT(stretch.end_played > next);
    RC_ASSERT(stretch.score.begin < stretch.score.end);
    RC_ASSERT(!stretch.curve.empty());
    for (std::size_t i = 1; i < stretch.curve.size(); ++i) {
      RC_ASSERT(stretch.curve[i - 1].beat < stretch.curve[i].beat);
      RC_ASSERT(stretch.curve[i - 1].second < stretch.curve[i].second);
    }
    next = stretch.end_played;
  }
  RC_ASSERT(alignment.stretches.empty() || next == take.notes.size());
}

TEST(AnyTake, GivesEachNoteOnePlace) {
  EXPECT_TRUE(test::holds(2'000, [] {
    const Score score = random_score();
    const Take take = random_take();
    const Alignment alignment = align(score, take);
    check_places(score, take, alignment);
    check_stretches(take, alignment);
  }));
}

test::Disturbance random_disturbance() {
  test::Disturbance how;
  how.rubato = test::any(0, 31) / 100.0;
  how.noise = {test::any(0, 21) / 1000.0};
  how.spread = {test::any(0, 151) / 1000.0};
  how.dropped = test::any(0, 11) / 100.0;
  how.wrong = test::any(0, 11) / 100.0;
  how.added = test::any(0, 11) / 100.0;
  how.tempo = test::any(50, 201) / 100.0;
  how.seed = static_cast<std::uint64_t>(test::any(0, 1'000'000));
  return how;
}

TEST(DisturbedTake, GivesEachNoteOnePlace) {
  EXPECT_TRUE(test::holds(2'000, [] {
    const Score score = random_score();
    const Take take =
        test::disturbed(score, test::played_plainly(score), random_disturbance()).take;
    const Alignment alignment = align(score, take);
    check_places(score, take, alignment);
    check_stretches(take, alignment);
  }));
}

TEST(PlainTake, HasTheSamePairsWhateverItsTempo) {
  EXPECT_TRUE(test::holds(1'000, [] {
    const Score score = random_score();
    const std::vector<PerformedNote> played = test::played_plainly(score);
    const test::KnownTake known =
        test::disturbed(score, played, {.tempo = test::any(50, 201) / 100.0});
    RC_ASSERT(align(score, known.take).pairs == known.pairs);
  }));
}

}  // namespace
}  // namespace arsis
