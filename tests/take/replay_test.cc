// A take as it is heard beside the plan: in the score's order, as it was played last.
#include "take/replay.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <map>
#include <string>
#include <tuple>
#include <vector>

#include "property.h"
#include "score_builder.h"
#include "shape/random_music.h"
#include "take/disturbed.h"

namespace arsis {
namespace {

constexpr Seconds kTolerance{1e-6};

// Quarter notes at 120 a minute; bars 1 to 4 are beats 0 to 16.
Score scale() { return test::score_of("C4 D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 B5 C6 D6"); }

Take played(const Score& score, const test::Disturbance& how) {
  return test::disturbed(score, test::played_plainly(score), how).take;
}

Replay replayed(const Score& score, const Take& take, Span passage) {
  return replay_of(score, {}, take, align(score, take), passage);
}

// "key@seconds key@seconds".
std::string heard(const Replay& replay) {
  std::string text;
  for (std::size_t i = 0; i < replay.score.notes.size(); ++i) {
    text += text.empty() ? "" : " ";
    text += fmt::format("{}@{:.2f}", replay.score.notes[i].key,
                        replay.performance.notes[i].onset.value);
  }
  return text;
}

TEST(Replay, IsTheWholeTakeWithAPauseBeforeIt) {
  const Score score = test::score_of("C4 D4 E4 F4");
  Take take = played(score, {.tempo = 0.5});
  take.notes[1].velocity = Velocity::clamped(99);
  const Replay replay = replayed(score, take, {{0.0}, {4.0}});
  EXPECT_EQ(heard(replay), "60@0.30 62@1.30 64@2.30 65@3.30");
  EXPECT_EQ(replay.performance.notes[1].velocity.value(), 99);
  EXPECT_NEAR(replay.performance.notes[3].end.value, 4.3, 1e-6);
  EXPECT_NEAR(replay.time.seconds_at({2.0}).value, 2.3, 1e-6);
  EXPECT_NEAR(replay.time.seconds_at({2.5}).value, 2.8, 1e-6);
}

TEST(Replay, OfAPassageHasItsNotesOnlyAndEndsWithIt) {
  const Score score = scale();
  Take take = played(score, {});
  take.notes[7].end += Seconds{9.0};  // held on, beyond the passage
  const Replay replay = replayed(score, take, {{4.0}, {8.0}});
  EXPECT_EQ(heard(replay), "67@0.30 69@0.80 71@1.30 72@1.80");
  EXPECT_NEAR(replay.performance.notes[3].end.value, 2.3, 1e-6);
  EXPECT_NEAR(replay.time.seconds_at({4.0}).value, 0.3, 1e-6);
}

TEST(Replay, PlaysWhatWasPlayedAgainAsItWasPlayedLast) {
  const Score score = scale();
  // Bars 1 and 2, then from the middle of bar 1 again, after five seconds, to the end.
  Take take = played(score, {.leaps = {{{8.0}, {2.0}, {5.0}}}});
  ASSERT_EQ(take.notes.size(), 22u);
  for (std::size_t i = 0; i < 8; ++i) take.notes[i].velocity = Velocity::clamped(30);
  const Replay replay = replayed(score, take, {{0.0}, {16.0}});
  ASSERT_EQ(replay.score.notes.size(), 16u) << heard(replay);
  EXPECT_EQ(heard(replay).substr(0, 31), "60@0.30 62@0.80 64@1.60 65@2.10");
  for (std::size_t i = 0; i < 16; ++i) {
    EXPECT_EQ(replay.performance.notes[i].velocity.value() == 30, i < 2) << i;
  }
  EXPECT_NEAR(replay.time.seconds_at({2.0}).value, 1.6, 1e-6);
  EXPECT_LT(replay.time.seconds_at({1.99}).value, 1.3);
}

TEST(Replay, PausesWhereBarsWereLeftOut) {
  const Score score = scale();
  const Take take = played(score, {.leaps = {{{4.0}, {12.0}, {0.5}}}});
  const Replay replay = replayed(score, take, {{0.0}, {16.0}});
  EXPECT_EQ(heard(replay), "60@0.30 62@0.80 64@1.30 65@1.80 81@2.60 83@3.10 84@3.60 86@4.10");
  EXPECT_NEAR(replay.time.seconds_at({12.0}).value, 2.6, 1e-6);
  EXPECT_TRUE(replayed(score, take, {{5.0}, {11.0}}).score.notes.empty());
}

TEST(Replay, KeepsWrongAndAddedNotes) {
  const Score score = scale();
  Take take = played(score, {});
  take.notes[5].key = 70;                                                                 // for A4
  take.notes.insert(take.notes.begin() + 7, {{3.2}, {3.3}, 100, Velocity::clamped(50)});  // between
  const Replay replay = replayed(score, take, {{4.0}, {8.0}});
  EXPECT_EQ(heard(replay), "67@0.30 70@0.80 71@1.30 100@1.50 72@1.80");
}

TEST(Replay, HasThePedalsAsTheyStoodAndLetsThemUp) {
  const Score score = scale();
  Take take = played(score, {});
  take.pedals = {{{0.1}, 64, 100}, {{2.75}, 64, 0}, {{3.25}, 64, 90}, {{9.0}, 64, 0}};
  const Replay replay = replayed(score, take, {{4.0}, {8.0}});
  std::string pedals;
  for (const Message& message : replay.score.messages) {
    const auto bytes = replay.score.bytes_of(message);
    pedals +=
        fmt::format("{:.2f}:{} ", replay.performance.time.seconds_at(message.at).value, bytes[2]);
  }
  EXPECT_EQ(pedals, "0.30:100 1.05:0 1.55:90 2.30:0 ");
}

TEST(Replay, HasTheInstrumentOfTheMelody) {
  test::ScoreText text;
  text.parts = {"C3 D3 E3 F3", "C5 D5 E5 F5"};
  Score score = test::score_of(text);
  score.message_bytes = {0xC0, 42, 0xC1, 73};
  score.messages = {{{0.0}, 0, 0, 2, 0}, {{0.0}, 0, 2, 2, 1}};
  BoundPlan plan;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    if (score.notes[i].part == 1) plan.melody.push_back(i);
  }
  const Take take = played(score, {});
  const Replay replay = replay_of(score, plan, take, align(score, take), {{0.0}, {4.0}});
  ASSERT_EQ(replay.score.messages.size(), 1u);
  const auto bytes = replay.score.bytes_of(replay.score.messages[0]);
  EXPECT_EQ(std::vector<int>(bytes.begin(), bytes.end()), (std::vector<int>{0xC0, 73}));
}

// Of any take: its times rise, no key is struck while it sounds, and each note is there once.
void check(const Replay& replay, const Take& take) {
  RC_ASSERT(replay.score.notes.size() == replay.performance.notes.size());
  RC_ASSERT(replay.score.notes.size() <= take.notes.size());
  const auto knots = replay.time.knots();
  RC_ASSERT(knots.front().beat == Beats{});
  std::map<int, Seconds> ends;
  Seconds last;
  for (std::size_t i = 0; i < replay.score.notes.size(); ++i) {
    const PerformedNote& note = replay.performance.notes[i];
    RC_ASSERT(note.onset + kTolerance >= last);
    RC_ASSERT(note.end > note.onset);
    if (!note.sounds) continue;
    Seconds& end = ends[replay.score.notes[i].key];
    RC_ASSERT(note.onset + kTolerance >= end);
    end = note.end;
    last = note.onset;
  }
  for (std::size_t i = 1; i < knots.size(); ++i) {
    RC_ASSERT(knots[i].beat > knots[i - 1].beat);
    RC_ASSERT(knots[i].second > knots[i - 1].second);
  }
}

TEST(Replay, RisesInTimeWhateverIsPlayed) {
  EXPECT_TRUE(test::holds(600, [] {
    const Score score = test::piano_score(8, static_cast<std::uint64_t>(test::any(0, 50)));
    test::Disturbance how;
    for (int i = test::any(0, 4); i > 0; --i) {
      how.leaps.push_back({{test::any(0, 64) * 0.5}, {test::any(0, 64) * 0.5}, {1.0}});
    }
    how.noise = {test::any(0, 50) * 1e-3};
    how.added = how.wrong = how.dropped = test::any(0, 3) * 0.05;
    how.seed = static_cast<std::uint64_t>(test::any(1, 1000));
    const Take take = played(score, how);
    const double begin = test::any(0, 30);
    check(replayed(score, take, {{begin}, {begin + test::any(1, 33)}}), take);
  }));
}

}  // namespace
}  // namespace arsis
