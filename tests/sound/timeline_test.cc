// The order of what is sent to a synthesizer.
#include "sound/timeline.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <string>
#include <vector>

#include "property.h"

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
    if (message.size == 0) text += " exclusive";
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

// A note of channel 1 written at beat 1 (0.50 s) and struck earlier, with messages around it.
struct Early {
  Score score = two_tracks();
  Performance performance;

  Early() {
    add_note(score, performance, 1.0, 2.0, 1, 5);
    performance.notes[0].onset = {0.49};
  }
};

TEST(Timeline, SendsAProgramBeforeANoteThatIsStruckEarly) {
  Early early;
  add_message(early.score, 1.0, 0, 0, {0xC1, 7});  // in another track, but for its channel
  EXPECT_EQ(dump(early.score, early.performance), "0.49: C1 07\n0.49: 91 3C 40\n1.00: 81 3C 00\n");
}

TEST(Timeline, SendsAnExclusiveBeforeANoteThatIsStruckEarly) {
  Early early;
  add_message(early.score, 1.0, 0, 0, {0xF0, 0x7E, 0x7F, 0x09, 0x01, 0xF7});
  EXPECT_EQ(dump(early.score, early.performance),
            "0.49: exclusive\n0.49: 91 3C 40\n1.00: 81 3C 00\n");
}

TEST(Timeline, LeavesWhatIsNotBeforeTheEarlyNoteInItsPlace) {
  Early early;
  add_message(early.score, 1.0, 0, 0, {0xC0, 7});     // for another channel
  add_message(early.score, 1.0, 1, 9, {0xB1, 1, 2});  // after the note in its track
  EXPECT_EQ(dump(early.score, early.performance),
            "0.49: 91 3C 40\n0.50: C0 07\n0.50: B1 01 02\n1.00: 81 3C 00\n");
}

TEST(Timeline, KeepsTheOrderOfAChannelWhereAMessageIsDrawnForward) {
  Early early;
  add_message(early.score, 0.97, 1, 0, {0xB1, 1, 1});
  add_message(early.score, 0.99, 1, 1, {0xB1, 1, 2});
  add_message(early.score, 0.99, 1, 2, {0xB0, 1, 9});  // another channel: stays
  add_message(early.score, 1.0, 1, 3, {0xB1, 1, 3});
  EXPECT_EQ(dump(early.score, early.performance),
            "0.48: B1 01 01\n0.49: B1 01 02\n0.49: B1 01 03\n0.49: 91 3C 40\n0.49: B0 01 09\n"
            "1.00: 81 3C 00\n");
}

TEST(Timeline, IsNotDrawnForwardByANoteThatDoesNotSound) {
  Early early;
  early.performance.notes[0].sounds = false;
  add_message(early.score, 1.0, 1, 0, {0xC1, 7});
  EXPECT_EQ(dump(early.score, early.performance), "0.50: C1 07\n");
}

TEST(Timeline, WaitsForNoNoteThatIsStruckLate) {
  Early late;
  late.performance.notes[0].onset = {0.52};
  add_message(late.score, 1.0, 1, 0, {0xC1, 7});
  EXPECT_EQ(dump(late.score, late.performance), "0.50: C1 07\n0.52: 91 3C 40\n1.00: 81 3C 00\n");
}

TEST(Timeline, UsesAllSixteenChannels) {
  Score score;
  Performance performance;
  for (std::uint8_t channel = 0; channel < 16; ++channel) {
    score.tracks.push_back({"", {4.0}});
    score.parts.push_back({"", channel, channel + 1, channel});
    add_note(score, performance, channel, channel + 1.0, channel, 0);
  }
  std::array<int, 16> heard{};
  for (const TimedMessage& message : timeline(score, performance)) ++heard[message.bytes[0] & 15];
  EXPECT_EQ(heard, (std::array<int, 16>{2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2}));
}

TEST(Timeline, IsCompact) { EXPECT_LE(sizeof(TimedMessage), 24u); }

// A random score on a coarse grid, so that much falls together, played a little unevenly. Each
// message has its place among the score's as its data byte, and each note as its key.
struct Random {
  Score score = two_tracks();
  Performance performance;
};

Random random_music() {
  Random music;
  const auto in = [](int low, int high) { return *rc::gen::inRange(low, high); };
  struct Event {
    int beat;
    std::uint16_t track;
    bool note;
  };
  std::vector<Event> events;
  for (int i = in(0, 40); i > 0; --i) {
    events.push_back({in(0, 6), static_cast<std::uint16_t>(in(0, 2)), in(0, 2) == 0});
  }
  std::ranges::stable_sort(events, {}, [](const Event& e) { return std::pair(e.beat, e.track); });
  std::uint32_t sequence = 0;  // rises along each track too
  for (const auto& [beat, track, note] : events) {
    const double at = beat / 64.0;
    if (note) {
      add_note(music.score, music.performance, at, at + 1.0, track, sequence++);
      music.score.notes.back().key = static_cast<std::uint8_t>(music.score.notes.size() - 1);
      PerformedNote& played = music.performance.notes.back();
      played.onset = {std::max(0.0, at / 2.0 + 0.001 * in(-12, 13))};
      played.sounds = in(0, 4) != 0;
    } else {
      const auto place = static_cast<std::uint8_t>(music.score.messages.size());
      const auto status = static_cast<std::uint8_t>(0xB0 | in(0, 2));
      add_message(music.score, at, track, sequence++, {status, 1, place});
    }
  }
  return music;
}

TEST(Timeline, RisesInTimeAndKeepsEveryChannelsOrder) {
  EXPECT_TRUE(test::holds(3000, [] {
    const Random music = random_music();
    const Score& score = music.score;
    const Performance& performance = music.performance;
    std::array<int, 2> last_place = {-1, -1};
    std::size_t messages = 0;
    std::size_t notes = 0;
    Seconds now{0.0};
    for (const TimedMessage& message : timeline(score, performance)) {
      RC_ASSERT(message.at >= now);
      now = message.at;
      const std::size_t channel = message.bytes[0] & 15;
      if ((message.bytes[0] & 0xF0) != 0xB0) {
        ++notes;
        continue;
      }
      ++messages;
      const int place = message.bytes[2];
      RC_ASSERT(place > last_place[channel]);
      last_place[channel] = place;
      // Perhaps early, never late.
      const Beats written = score.messages[message.bytes[2]].at;
      RC_ASSERT(message.at <= performance.time.seconds_at(written));
      RC_ASSERT(message.at + Seconds{0.0121} >= performance.time.seconds_at(written));
    }
    RC_ASSERT(messages == score.messages.size());
    RC_ASSERT(notes == 2 * static_cast<std::size_t>(std::ranges::count(performance.notes, true,
                                                                       &PerformedNote::sounds)));
  }));
}

TEST(Timeline, SendsWhatIsBeforeANoteInItsTrackBeforeIt) {
  EXPECT_TRUE(test::holds(3000, [] {
    const Random music = random_music();
    const Score& score = music.score;
    std::vector<bool> sent(score.messages.size());
    for (const TimedMessage& sounding : timeline(score, music.performance)) {
      if ((sounding.bytes[0] & 0xF0) == 0xB0) sent[sounding.bytes[2]] = true;
      if ((sounding.bytes[0] & 0xF0) != 0x90) continue;
      const Note& note = score.notes[sounding.bytes[1]];
      const Part& part = score.parts[note.part];
      for (std::size_t i = 0; i < sent.size(); ++i) {
        const Message& message = score.messages[i];
        const bool follows_a_note = std::ranges::any_of(score.notes, [&](const Note& other) {
          return other.onset == message.at && score.parts[other.part].track == message.track &&
                 other.sequence < message.sequence;
        });
        const bool same_channel = (score.bytes_of(message)[0] & 15) == part.channel;
        if (same_channel && message.at == note.onset && !follows_a_note) RC_ASSERT(sent[i]);
      }
    }
  }));
}

}  // namespace
}  // namespace arsis
