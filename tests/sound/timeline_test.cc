// The order of what is sent to a synthesizer.
#include "sound/timeline.h"

#include <gtest/gtest.h>

#include <string>

namespace arsis {
namespace {

Score two_tracks() {
  Score score;
  score.tracks = {{"", {4.0}}, {"", {4.0}}};
  score.parts = {{"", 0, 1, 0}, {"", 1, 2, 1}};
  return score;
}

void add_note(Score& score, Performance& performance, double onset, double end, std::uint16_t part,
              std::uint32_t sequence) {
  Note note;
  note.onset = {onset};
  note.end = {end};
  note.part = part;
  note.sequence = sequence;
  score.notes.push_back(note);
  performance.notes.push_back({{onset / 2.0}, {end / 2.0}, Velocity{}});
}

void add_message(Score& score, double at, std::uint16_t track, std::uint32_t sequence,
                 std::initializer_list<std::uint8_t> bytes) {
  score.messages.push_back({{at},
                            sequence,
                            static_cast<std::uint32_t>(score.message_bytes.size()),
                            static_cast<std::uint32_t>(bytes.size()),
                            track});
  score.message_bytes.insert(score.message_bytes.end(), bytes);
}

std::string dump(const Score& score, const Performance& performance) {
  std::string text;
  char buffer[32];
  for (const TimedMessage& message : timeline(score, performance)) {
    std::snprintf(buffer, sizeof buffer, "%.2f:", message.at.value);
    text += buffer;
    if (message.exclusive != TimedMessage::kNoMessage) text += " exclusive";
    for (std::size_t i = 0; i < message.size; ++i) {
      std::snprintf(buffer, sizeof buffer, " %02X", message.bytes[i]);
      text += buffer;
    }
    text += "\n";
  }
  return text;
}

TEST(Timeline, PutsEndsFirstThenMessagesThenBeginnings) {
  Score score = two_tracks();
  Performance performance;
  add_message(score, 0.0, 0, 0, {0xC0, 5});
  add_note(score, performance, 0.0, 1.0, 1, 0);
  add_note(score, performance, 1.0, 2.0, 1, 2);
  add_message(score, 1.0, 1, 3, {0xB1, 64, 127});  // after its track's note in the file
  add_message(score, 1.0, 0, 9, {0xB0, 7, 90});    // of another track: before all notes
  EXPECT_EQ(dump(score, performance),
            "0.00: C0 05\n0.00: 91 3C 40\n0.50: 81 3C 00\n0.50: B0 07 5A\n0.50: 91 3C 40\n"
            "0.50: B1 40 7F\n1.00: 81 3C 00\n");
}

TEST(Timeline, KeepsExclusivesAndLeavesOutWhatMakesNoSound) {
  Score score = two_tracks();
  Performance performance;
  add_message(score, 0.0, 0, 0, {0xF0, 0x7E, 0x7F, 0x09, 0x01, 0xF7});
  add_message(score, 0.0, 0, 1, {0xFF, 0x01, 0x41});
  add_message(score, 0.0, 0, 2, {0xF7, 0xF3, 0x01});
  add_note(score, performance, 0.0, 1.0, 0, 3);
  performance.notes[0].sounds = false;
  EXPECT_EQ(dump(score, performance), "0.00: exclusive\n");
}

TEST(Timeline, FollowsThePerformancesOwnTime) {
  Score score = two_tracks();
  Performance performance;
  performance.time = TimeMap({{{0.0}, {0.0}}, {{1.0}, {0.75}}, {{2.0}, {1.0}}});
  add_message(score, 1.0, 0, 0, {0xB0, 1, 1});
  add_message(score, 1.5, 0, 1, {0xB0, 1, 2});
  EXPECT_EQ(dump(score, performance), "0.75: B0 01 01\n0.88: B0 01 02\n");
}

}  // namespace
}  // namespace arsis
