// Two hands in one track: told apart as a pianist would lay them, wherever they wander.
#include "score/hands.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "property.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::holds;
using test::score_of;
using test::ScoreText;

// Both lines as one part, and which notes were of the first.
struct Joined {
  Score score;
  std::vector<bool> right;
};

Joined joined(const std::string& right, const std::string& left) {
  Joined result{score_of(ScoreText{.parts = {right, left}}), {}};
  for (Note& note : result.score.notes) {
    result.right.push_back(note.part == 0);
    note.part = 0;
  }
  result.score.parts.resize(1);
  return result;
}

std::string times(const std::string& words, int count) {
  std::string text;
  for (int i = 0; i < count; ++i) text += words + " ";
  return text;
}

struct HandsRow {
  const char* what;
  std::string right;
  std::string left;
};

const std::vector<HandsRow>& rows() {
  static const std::vector<HandsRow> kRows = {
      {"a tune over a broken chord", "C5/2 D5/2 E5/2 F5/2 G5/4 E5/2 C5/2",
       times("C3/0.5 G3/0.5 E3/0.5 G3/0.5", 8)},
      {"chords over octaves", times("E4+G4+C5 F4+A4+C5 D4+G4+B4 E4+G4+C5", 2),
       times("C2+C3 F2+F3 G2+G3 C2+C3", 2)},
      {"a tune that rests while the left goes on", "C5 D5 r/4 E5 F5 r/4 G5/4",
       times("C3/0.5 E3/0.5 G3/0.5 E3/0.5", 8)},
      {"both climb by two octaves, the left past where the right began",
       "A4 B4 C5 D5 E5 F5 G5 A5 B5 C6 D6 E6 F6 G6 A6",
       "C3 D3 E3 F3 G3 A3 B3 C4 D4 E4 F4 G4 A4 B4 C5"},
      {"a tenth in the left hand, the right far above", "C6 E6 G6 E6 C6 E6 G6 E6",
       times("C3+E4/2 G2+B3/2", 2)},
      {"four voices", "C5+E4 D5+F4 E5+G4 D5+F4 C5+E4/4", "C3+G3 B2+G3 C3+G3 G2+B3 C3+G3/4"}};
  return kRows;
}

TEST(Hands, AreToldApartByRegisterAndVoiceLeading) {
  for (const HandsRow& row : rows()) {
    SCOPED_TRACE(row.what);
    const Joined both = joined(row.right, row.left);
    EXPECT_TRUE(needs_two_hands(both.score, 0));
    EXPECT_EQ(right_hand_notes(both.score, 0), both.right);
  }
}

TEST(Hands, AreOneWhereOneHandPlaysItAll) {
  const std::vector<std::string> parts = {"C4 D4 E4 F4 G4 A4 B4 C5",  // a tune
                                          "C4+E4+G4 B3+D4+G4 C4+E4+G4 C4+E4+G4 C4+E4+G4",
                                          "C3 C4 C3 C4 C3 C4",              // leaps alone
                                          "C3+C5 D4 E4 F4 G4 F4 E4 D4 C4",  // once too wide
                                          times("C2+C5", 3)};               // too short to tell
  for (const std::string& part : parts) {
    EXPECT_FALSE(needs_two_hands(score_of(part), 0)) << part;
  }
}

TEST(Hands, TakeTwoWhereFiveFingersDoNotDo) {
  EXPECT_TRUE(needs_two_hands(score_of(times("C4+D4+E4+F4+G4+A4", 4)), 0));
  EXPECT_FALSE(needs_two_hands(score_of(times("C4+D4+E4+F4+G4", 4)), 0));
}

TEST(Hands, OfPercussionAreNotAsked) {
  Score drums = joined(times("C6", 8), times("C2", 8)).score;
  EXPECT_TRUE(needs_two_hands(drums, 0));
  drums.parts[0].channel = kDrumChannel;
  EXPECT_FALSE(needs_two_hands(drums, 0));
}

TEST(Hands, BecomePartsOfOneTrackInOrder) {
  ScoreText text;
  text.parts = {"C5 D5 E5 F5", "C3 G3 E3 G3", "A3 B3 C4 D4"};
  text.names = {"piano", "", "flute"};
  Score score = score_of(text);
  for (Note& note : score.notes) note.part = note.part == 2 ? 1 : 0;
  score.parts.erase(score.parts.begin() + 1);
  std::ranges::stable_sort(score.notes, {}, [](const Note& note) {
    return std::tuple(note.onset, note.part, note.key);
  });
  const Score parted = with_hands(score, {true, false});
  ASSERT_EQ(parted.parts.size(), 3u);
  EXPECT_EQ(parted.parts[0].hand, Hand::kRight);
  EXPECT_EQ(parted.parts[1].hand, Hand::kLeft);
  EXPECT_EQ(parted.parts[2].hand, Hand::kBoth);
  EXPECT_EQ(parted.parts[0].name, "piano");
  EXPECT_EQ(parted.parts[1].name, "piano");
  EXPECT_EQ(parted.parts[1].channel, parted.parts[0].channel);
  EXPECT_EQ(parted.parts[2].name, "flute");
  std::vector<std::pair<int, int>> notes;  // of the first moment
  for (std::size_t i = 0; i < 3; ++i) {
    notes.emplace_back(parted.notes[i].part, parted.notes[i].key);
  }
  EXPECT_EQ(notes, (std::vector<std::pair<int, int>>{{0, 72}, {1, 48}, {2, 57}}));
}

TEST(Hands, ThatHaveNoNotesMakeNoPart) {
  const Score tune = with_hands(score_of("C5 D5 E5 D5 C5"), {true});
  ASSERT_EQ(tune.parts.size(), 1u);
  EXPECT_EQ(tune.parts[0].hand, Hand::kRight);
}

// Random chords of two hands that lie an octave or more apart.
Joined random_hands() {
  const auto hand = [](int lowest) {
    std::string line;
    for (int i = 0; i < 12; ++i) {
      const int key = lowest + *rc::gen::inRange(0, 8);
      const char* names[] = {"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"};
      line += names[key % 12] + std::to_string(key / 12 - 1) + " ";
    }
    return line;
  };
  return joined(hand(72), hand(48));
}

TEST(Hands, StayTheSameInAnyKey) {
  EXPECT_TRUE(holds(500, [] {
    const Joined both = random_hands();
    Score moved = both.score;
    const int by = *rc::gen::inRange(-24, 24);
    for (Note& note : moved.notes) note.key = static_cast<std::uint8_t>(note.key + by);
    RC_ASSERT(right_hand_notes(both.score, 0) == both.right);
    RC_ASSERT(right_hand_notes(moved, 0) == both.right);
  }));
}

TEST(Hands, KeepEveryNoteOfAnyScore) {
  EXPECT_TRUE(holds(300, [] {
    Score score;
    score.parts.resize(2);
    score.tracks.resize(2);
    const int count = *rc::gen::inRange(1, 60);
    for (int i = 0; i < count; ++i) {
      Note note;
      note.onset = Beats{static_cast<double>(*rc::gen::inRange(0, 20))};
      note.end = note.onset + Beats{*rc::gen::inRange(1, 9) / 2.0};
      note.key = *rc::gen::inRange<std::uint8_t>(0, 128);
      note.part = *rc::gen::inRange<std::uint16_t>(0, 2);
      note.sequence = static_cast<std::uint32_t>(i);
      score.notes.push_back(note);
    }
    std::ranges::stable_sort(score.notes, {}, [](const Note& note) {
      return std::tuple(note.onset, note.part, note.key);
    });
    const Score parted = with_hands(score, {true, *rc::gen::arbitrary<bool>()});
    RC_ASSERT(parted.notes.size() == score.notes.size());
    std::vector<int> held(parted.parts.size());
    std::vector<bool> seen(score.notes.size());
    for (std::size_t i = 0; i < parted.notes.size(); ++i) {
      const Note& note = parted.notes[i];
      RC_ASSERT(note.part < parted.parts.size());
      RC_ASSERT(!seen[note.sequence]);
      seen[note.sequence] = true;
      ++held[note.part];
      if (i == 0) continue;
      const Note& last = parted.notes[i - 1];
      RC_ASSERT(std::tuple(last.onset, last.part, last.key) <=
                std::tuple(note.onset, note.part, note.key));
    }
    for (const int notes : held) RC_ASSERT(notes > 0);
  }));
}

}  // namespace
}  // namespace arsis
