// Which synthesizer plays which note.
#include "sound/phases.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <set>
#include <vector>

#include "property.h"
#include "sound/synthesizer.h"

namespace arsis {
namespace {

constexpr int kRate = 48'000;
constexpr double kSilent = 1.0;  // a note is not heard in the first frame of its block
const std::vector<int> kLeads = {0, 16, 32, 48};

TimedMessage message(double at, std::uint8_t status, std::uint8_t first, std::uint8_t second) {
  TimedMessage made;
  made.at = {at};
  made.bytes = {status, first, second};
  made.size = 3;
  return made;
}

TimedMessage at_frame(double frame, std::uint8_t status, std::uint8_t first, std::uint8_t second) {
  return message(frame / kRate, status, first, second);
}

TEST(Phases, PutMessagesAtTheNearestBlock) {
  struct Row {
    double frame;
    int lead;
    std::uint64_t begin;
  };
  const std::vector<Row> rows = {{0, 0, 0},    {31, 0, 0},    {33, 0, 64},   {64, 0, 64},
                                 {95, 0, 64},  {97, 0, 128},  {0, 16, 0},    {15, 16, 0},
                                 {17, 16, 64}, {48, 16, 64},  {0, 48, 64},   {16, 48, 64},
                                 {47, 48, 64}, {49, 48, 128}, {80, 48, 128}, {6400, 32, 6464}};
  for (const auto& [frame, lead, begin] : rows) {
    EXPECT_EQ(block_begin({(frame + kSilent) / kRate}, kRate, lead), begin)
        << frame << ", " << lead;
  }
}

TEST(Phases, GiveEachNoteToTheSynthesizerWhoseBlockBeginsNearest) {
  struct Row {
    double frame;
    std::uint8_t synthesizer;
  };
  // A lead of 16 puts blocks at 48, 112 ...; of 32 at 32, 96 ...; of 48 at 16, 80 ...
  const std::vector<Row> rows = {{0, 0},  {7, 0},  {9, 3},  {16, 3}, {23, 3}, {25, 2}, {32, 2},
                                 {41, 1}, {55, 1}, {57, 0}, {64, 0}, {80, 3}, {96, 2}, {112, 1}};
  for (const auto& [frame, synthesizer] : rows) {
    const std::vector<TimedMessage> one = {at_frame(frame + kSilent, 0x90, 60, 100)};
    EXPECT_EQ(recipients(one, kRate, kLeads).front(), synthesizer) << frame;
  }
}

TEST(Phases, BringEveryNoteWithinAnEighthOfABlock) {
  EXPECT_TRUE(test::holds(10'000, [] {
    const int rate = *rc::gen::element(22'050, 44'100, 48'000, 96'000);
    const double at = *rc::gen::inRange(0, 2'000'000'000) * 1e-6;
    const std::vector<TimedMessage> one = {message(at, 0x90, 60, 100)};
    const std::uint8_t synthesizer = recipients(one, rate, kLeads).front();
    const int lead = kLeads[synthesizer];
    const auto begin = static_cast<double>(block_begin({at}, rate, lead)) - lead;
    RC_ASSERT(std::abs(begin + kSilent - at * rate) <= kBlock / 8.0 + 0.1);
  }));
}

TEST(Phases, SendEndsAfterTheirBeginningsAndAllElseEverywhere) {
  TimedMessage exclusive;
  exclusive.at = {0.001};
  const std::vector<TimedMessage> row = {
      at_frame(0, 0xB0, 64, 127),  at_frame(0, 0xC0, 5, 0),   exclusive,
      at_frame(49, 0x90, 60, 100), at_frame(81, 0x90, 61, 1), at_frame(81, 0x91, 60, 1),
      at_frame(96, 0x80, 61, 0),   at_frame(99, 0xE0, 0, 64), at_frame(128, 0x80, 60, 0),
      at_frame(128, 0x81, 60, 0),  at_frame(130, 0xA0, 60, 9)};
  const std::uint8_t every = kEverySynthesizer;
  EXPECT_EQ(recipients(row, kRate, kLeads),
            (std::vector<std::uint8_t>{every, every, every, 1, 3, 3, 3, every, 1, 3, every}));
}

TEST(Phases, ShareNotesEquallyWhereAllAreEquallyNear) {
  const std::vector<int> same = {0, 0, 0, 0};
  std::vector<TimedMessage> row;
  for (std::uint8_t key = 30; key < 70; ++key) row.push_back(at_frame(key * 50, 0x90, key, 100));
  std::array<int, 4> count{};
  for (const std::uint8_t synthesizer : recipients(row, kRate, same)) ++count[synthesizer];
  EXPECT_EQ(count, (std::array<int, 4>{10, 10, 10, 10}));
}

TEST(Phases, KeepDrumsThatCutOneAnotherOffTogether) {
  // Source: General MIDI 2, percussion sound set, exclusive classes.
  const std::vector<std::vector<std::uint8_t>> groups = {{42, 44, 46}, {71, 72}, {73, 74}, {78, 79},
                                                         {80, 81},     {29, 30}, {86, 87}};
  for (const std::vector<std::uint8_t>& group : groups) {
    SCOPED_TRACE(int{group[0]});
    std::vector<TimedMessage> drums;
    std::vector<TimedMessage> piano;
    for (int i = 0; i < 60; ++i) {
      const std::uint8_t key = group[static_cast<std::size_t>(i) % group.size()];
      drums.push_back(at_frame(i * 5000 + i * 7, 0x99, key, 100));
      piano.push_back(at_frame(i * 5000 + i * 7, 0x90, key, 100));
    }
    const std::vector<std::uint8_t> drummed = recipients(drums, kRate, kLeads);
    EXPECT_EQ(std::set(drummed.begin(), drummed.end()).size(), 1u);
    const std::vector<std::uint8_t> played = recipients(piano, kRate, kLeads);
    EXPECT_EQ(std::set(played.begin(), played.end()).size(), 4u);
  }
}

TEST(Phases, KeepAChannelTogetherWhoseNotesDependOnOneAnother) {
  struct Row {
    const char* what;
    std::uint8_t controller;
    std::uint8_t value;
    bool together;
  };
  // Source: MIDI 1.0, control change messages.
  const std::vector<Row> rows = {{"glide", 65, 127, true},     {"no glide", 65, 0, false},
                                 {"legato", 68, 64, true},     {"no legato", 68, 63, false},
                                 {"glide from", 84, 60, true}, {"one at a time", 126, 0, true},
                                 {"many", 127, 0, false},      {"pedal", 64, 127, false}};
  for (const auto& [what, controller, value, together] : rows) {
    SCOPED_TRACE(what);
    std::vector<TimedMessage> row;
    for (int i = 0; i < 40; ++i) {
      row.push_back(at_frame(i * 5000 + i * 7, 0x93, 60, 100));
      row.push_back(at_frame(i * 5000 + i * 7, 0x94, 60, 100));
    }
    // At the end: what came before depends on it no less.
    row.push_back(at_frame(300'000, 0xB3, controller, value));
    const std::vector<std::uint8_t> all = recipients(row, kRate, kLeads);
    std::set<std::uint8_t> its_own;
    std::set<std::uint8_t> others;
    for (std::size_t i = 0; i + 1 < all.size(); ++i) (i % 2 == 0 ? its_own : others).insert(all[i]);
    EXPECT_EQ(its_own.size(), together ? 1u : 4u);
    EXPECT_EQ(others.size(), 4u);
  }
}

}  // namespace
}  // namespace arsis
