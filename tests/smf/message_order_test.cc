// Messages among notes that are played beside their beat.
#include "smf/message_order.h"

#include <gtest/gtest.h>

#include <string>
#include <string_view>
#include <vector>

#include "property.h"
#include "smf/hex.h"
#include "smf/performance_writer.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

constexpr int kShift = 40;  // ticks of 960 a quarter note, 120 quarter notes a minute

// The score of these events at 96 ticks a quarter note, its notes `shifts` ticks late (early, where
// negative): as "tick: bytes" without tempos.
std::string played(std::string_view events, const std::vector<int>& shifts) {
  const Result<MidiFile> file = read_midi(test::one_track(events), "f.mid");
  const Result<Score> score = score_of(*file, "f.mid");
  Performance performance;
  performance.time = TimeMap({{{0.0}, {0.0}}, {{1.0}, {0.5}}});
  for (std::size_t i = 0; i < score->notes.size(); ++i) {
    const Note& note = score->notes[i];
    const Seconds shift{shifts.at(i) * 0.5 / 960};
    performance.notes.push_back({performance.time.seconds_at(note.onset) + shift,
                                 performance.time.seconds_at(note.end), note.velocity});
  }
  const MidiFile written = midi_of(*score, performance, TimingForm::kTempoMap);
  return test::events_of(written, 0);
}

struct Row {
  const char* what;
  const char* events;
  std::vector<int> shifts;  // of the notes by onset and key
  const char* played;
};

TEST(MessageOrder, HoldsWhereANoteIsPlayedBesideItsBeat) {
  const std::vector<Row> rows = {
      {"nothing moves",
       "60C005 00903C40 00B0407F 60803C40 00FF2F00",
       {0},
       "960: C0 05\n960: 90 3C 40\n960: B0 40 7F\n1920: 80 3C 40\n"},
      {"late: what was before stays, what was after follows",
       "60C005 00903C40 00B0407F 60803C40 00FF2F00",
       {kShift},
       "960: C0 05\n1000: 90 3C 40\n1000: B0 40 7F\n1920: 80 3C 40\n"},
      {"early: what was before goes ahead, what was after stays",
       "60C005 00903C40 00B0407F 60803C40 00FF2F00",
       {-kShift},
       "920: C0 05\n920: 90 3C 40\n960: B0 40 7F\n1920: 80 3C 40\n"},
      {"a message a tick before an early note goes ahead too",
       "5FC005 01903C40 60803C40 00FF2F00",
       {-kShift},
       "920: C0 05\n920: 90 3C 40\n1920: 80 3C 40\n"},
      {"a message a tick after a late note follows too",
       "60903C40 01B0407F 5F803C40 00FF2F00",
       {kShift},
       "1000: 90 3C 40\n1000: B0 40 7F\n1920: 80 3C 40\n"},
      {"a pedal that was up before stays up before",
       "5EB04000 01B0407F 01903C40 60803C40 00FF2F00",
       {-kShift},
       "920: B0 40 00\n920: B0 40 7F\n920: 90 3C 40\n1920: 80 3C 40\n"},
      {"another channel's note moves nothing",
       "60C105 00903C40 00B1407F 60803C40 00FF2F00",
       {-kShift},
       "920: 90 3C 40\n960: C1 05\n960: B1 40 7F\n1920: 80 3C 40\n"},
      {"an exclusive minds every channel",
       "60F0027EF7 00953C40 60853C40 00FF2F00",
       {-kShift},
       "920: F0 7E F7\n920: 95 3C 40\n1920: 85 3C 40\n"},
      {"meta events and escapes stay on their beat",
       "60FF050141 00F70141 00903C40 00FF010142 60803C40 00FF2F00",
       {kShift},
       "960: FF 05 41\n960: F7 41\n960: FF 01 42\n1000: 90 3C 40\n1920: 80 3C 40\n"},
      {"between an early and a late note of a chord",
       "60903C40 00C005 00904040 60803C40 00804040 00FF2F00",
       {-kShift, kShift},
       "920: 90 3C 40\n960: C0 05\n1000: 90 40 40\n1920: 80 3C 40\n1920: 80 40 40\n"},
      {"where both cannot be, before the note that follows",
       "60903C40 00C005 00904040 60803C40 00804040 00FF2F00",
       {kShift, -kShift},
       "920: C0 05\n920: 90 40 40\n1000: 90 3C 40\n1920: 80 3C 40\n1920: 80 40 40\n"},
      {"an end of a note comes first in its tick",
       "00903C40 60B0407F 00803C40 00903C40 60803C40 00FF2F00",
       {0, 0},
       "0: 90 3C 40\n960: 80 3C 40\n960: B0 40 7F\n960: 90 3C 40\n1920: 80 3C 40\n"},
  };
  for (const Row& row : rows) {
    SCOPED_TRACE(row.what);
    EXPECT_EQ(played(row.events, row.shifts), row.played);
  }
}

TEST(MessageOrder, FollowsTimeInTheTicksForm) {
  const Result<MidiFile> file =
      read_midi(test::one_track("00903C40 60803C40 60FF5804030218 08 00FF2F00"), "f.mid");
  const Result<Score> score = score_of(*file, "f.mid");
  ASSERT_TRUE(score);
  // Two quarter notes in one and a half seconds instead of one: 2880 ticks instead of 1920.
  Performance performance;
  performance.time = TimeMap({{{0.0}, {0.0}}, {{2.0}, {1.5}}});
  performance.notes = {{{0.0}, {0.75}, Velocity{}}};
  const MidiFile written = midi_of(*score, performance, TimingForm::kTicks);
  const std::vector<MidiEvent>& events = written.tracks[0].events;
  ASSERT_EQ(events.size(), 4u);  // a tempo, a note, the time signature
  EXPECT_EQ(events[2].tick, 1440);
  EXPECT_EQ(written.bytes_of(events[3])[1], 0x58);
  EXPECT_EQ(events[3].tick, 2880);
  EXPECT_EQ(written.tracks[0].end_tick, 2880);
}

// Random notes and messages of two tracks and three channels, each note moved a little.
struct Scene {
  Score score;
  std::vector<Strike> strikes;
  std::vector<std::int64_t> ticks;
};

Scene random_scene() {
  Scene scene;
  scene.score.tracks.resize(2);
  for (std::uint16_t part = 0; part < 6; ++part) {
    scene.score.parts.push_back(
        {"", static_cast<std::uint16_t>(part / 3), 1, static_cast<std::uint8_t>(part % 3)});
  }
  std::int64_t tick = 0;
  const int count = *rc::gen::inRange(1, 30);
  for (int i = 0; i < count; ++i) {
    tick += *rc::gen::element(0, 0, 1, 5, 20);
    const auto sequence = static_cast<std::uint32_t>(i);
    if (*rc::gen::inRange(0, 2) == 0) {
      Note note;
      note.onset = {static_cast<double>(tick)};
      note.sequence = sequence;
      note.part = static_cast<std::uint16_t>(*rc::gen::inRange(0, 6));
      scene.score.notes.push_back(note);
      const std::int64_t on = std::max<std::int64_t>(0, tick + *rc::gen::inRange(-10, 11));
      scene.strikes.push_back({on, on + *rc::gen::inRange(0, 3)});
    } else {
      Message message;
      message.at = {static_cast<double>(tick)};
      message.sequence = sequence;
      message.track = static_cast<std::uint16_t>(*rc::gen::inRange(0, 2));
      message.first = static_cast<std::uint32_t>(scene.score.message_bytes.size());
      message.size = 1;
      scene.score.message_bytes.push_back(
          *rc::gen::element<std::uint8_t>(0xB0, 0xB1, 0xC2, 0xF0, 0xF7, 0xFF));
      scene.score.messages.push_back(message);
      scene.ticks.push_back(tick);
    }
  }
  return scene;
}

bool precedes(const Message& message, const Note& note, const Score& score) {
  return std::tuple(message.at, message.track, message.sequence) <
         std::tuple(note.onset, score.parts[note.part].track, note.sequence);
}

TEST(MessageOrder, KeepsEveryMessageBeforeTheNotesThatFollowAndMovesItNoFartherThanItMust) {
  EXPECT_TRUE(test::holds(10'000, [] {
    Scene scene = random_scene();
    const std::vector<std::int64_t> before = scene.ticks;
    keep_order(scene.score, scene.strikes, scene.ticks);
    for (std::size_t i = 0; i < scene.ticks.size(); ++i) {
      const Message& message = scene.score.messages[i];
      const std::uint8_t status = scene.score.bytes_of(message)[0];
      if (status > 0xF0) {
        RC_ASSERT(scene.ticks[i] == before[i]);
        continue;
      }
      // No note is more than ten ticks beside its beat.
      RC_ASSERT(std::abs(scene.ticks[i] - before[i]) <= 10);
      bool next_to_note = false;
      for (std::size_t k = 0; k < scene.strikes.size(); ++k) {
        const Note& note = scene.score.notes[k];
        const bool same = status == 0xF0 || scene.score.parts[note.part].channel == (status & 0x0F);
        if (!same || !scene.strikes[k].sounds()) continue;
        next_to_note = next_to_note || scene.strikes[k].on == scene.ticks[i];
        if (precedes(message, note, scene.score)) RC_ASSERT(scene.ticks[i] <= scene.strikes[k].on);
      }
      // What was moved is at a note, or at a message that was.
      bool next_to_message = false;
      for (std::size_t k = 0; k < scene.ticks.size(); ++k) {
        next_to_message = next_to_message || (k != i && scene.ticks[k] == scene.ticks[i]);
      }
      RC_ASSERT(scene.ticks[i] == before[i] || next_to_note || next_to_message);
    }
  }));
}

TEST(MessageOrder, KeepsTheMessagesOfAChannelInOrder) {
  EXPECT_TRUE(test::holds(10'000, [] {
    Scene scene = random_scene();
    keep_order(scene.score, scene.strikes, scene.ticks);
    for (std::size_t i = 0; i < scene.ticks.size(); ++i) {
      for (std::size_t k = 0; k < i; ++k) {
        const Message& a = scene.score.messages[k];
        const Message& b = scene.score.messages[i];
        const std::uint8_t first = scene.score.bytes_of(a)[0];
        const std::uint8_t second = scene.score.bytes_of(b)[0];
        if (first > 0xF0 || second > 0xF0) continue;
        const bool meet = first == 0xF0 || second == 0xF0 || (first & 0x0F) == (second & 0x0F);
        if (!meet || a.at == b.at) continue;
        RC_ASSERT(scene.ticks[k] <= scene.ticks[i]);
      }
    }
  }));
}

}  // namespace
}  // namespace arsis
