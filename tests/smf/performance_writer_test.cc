// A performance as a MIDI file: what is written, where, and that nothing drifts.
#include "smf/performance_writer.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "smf/hex.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

using test::events_of;

// A score of one voice, a quarter note a beat, and a map whose tempo wavers around 90 a minute.
std::pair<Score, Performance> long_piece(int beats) {
  Score score;
  score.tracks = {{"", {static_cast<double>(beats)}}};
  score.parts = {{"", 0, 1, 0}};
  std::vector<TimeMap::Knot> knots = {{{0.0}, {0.0}}};
  for (int i = 0; i < beats * 4; ++i) {
    const double pace = (1.0 + 0.13 * std::sin(i * 0.37)) * 60.0 / 90.0 / 4.0;
    knots.push_back({{(i + 1) / 4.0}, knots.back().second + Seconds{pace}});
  }
  Performance performance;
  performance.time = TimeMap(knots);
  for (int i = 0; i < beats; ++i) {
    Note note;
    note.onset = {static_cast<double>(i)};
    note.end = {i + 1.0};
    note.sequence = static_cast<std::uint32_t>(i);
    note.key = static_cast<std::uint8_t>(60 + i % 2);
    score.notes.push_back(note);
    performance.notes.push_back({performance.time.seconds_at(note.onset),
                                 performance.time.seconds_at({i + 0.9}), Velocity{}});
  }
  return {score, performance};
}

TEST(PerformanceWriter, DoesNotDriftOverTwoThousandBars) {
  const auto [score, performance] = long_piece(8000);
  for (const TimingForm form : {TimingForm::kTempoMap, TimingForm::kTicks}) {
    const MidiFile file = midi_of(score, performance, form);
    // libsmf is slow with so many tempos: our own events, integrated here.
    std::size_t note = 0;
    long double worst = 0;
    long double seconds = 0;
    std::int64_t at = 0;
    std::int64_t tempo = 500'000;
    for (const MidiEvent& event : file.tracks[0].events) {
      const auto bytes = file.bytes_of(event);
      seconds += static_cast<long double>(event.tick - at) * tempo / file.division / 1e6L;
      at = event.tick;
      if (bytes[0] == 0xFF && bytes[1] == 0x51) tempo = bytes[2] << 16 | bytes[3] << 8 | bytes[4];
      if ((bytes[0] & 0xF0) != 0x90) continue;
      worst = std::max(worst, std::abs(seconds - performance.notes[note++].onset.value));
      if (form == TimingForm::kTempoMap) {
        EXPECT_EQ(event.tick % file.division, 0);
      }
    }
    EXPECT_EQ(note, 8000u);
    EXPECT_LE(worst, 0.5L * 700'000 / file.division / 1e6L);
  }
}

// The performance that plays a score as it stands.
Performance plain(const Score& score) {
  std::vector<TimeMap::Knot> knots;
  for (int beat = 0; beat <= static_cast<int>(score.end().value) + 1; ++beat) {
    knots.push_back(
        {{static_cast<double>(beat)}, score.tempo.seconds_at({static_cast<double>(beat)})});
  }
  Performance performance;
  performance.time = TimeMap(knots);
  for (const Note& note : score.notes) {
    performance.notes.push_back({performance.time.seconds_at(note.onset),
                                 performance.time.seconds_at(note.end), note.velocity});
  }
  return performance;
}

Score score_from(const Bytes& bytes) {
  const Result<MidiFile> file = read_midi(bytes, "f.mid");
  Result<Score> score = score_of(*file, "f.mid");
  return *score;
}

TEST(PerformanceWriter, WritesAPlainPerformanceAsTheScoreStands) {
  const Score score = score_from(test::one_track(
      "00C005 00903C40 00B0407F 60803C40 00FF010141 00904040 00F005 7E7F0901F7 60804040 00FF2F00"));
  const MidiFile file = midi_of(score, plain(score), TimingForm::kTempoMap);
  EXPECT_EQ(events_of(file, 0),
            "0: C0 05\n0: 90 3C 40\n0: B0 40 7F\n960: 80 3C 40\n960: FF 01 41\n960: 90 40 40\n"
            "960: F0 7E 7F 09 01 F7\n1920: 80 40 40\n");
  EXPECT_EQ(file.tracks[0].end_tick, 1920);
}

TEST(PerformanceWriter, WritesTheSmallestMultipleOfTheScoresDivisionFrom960) {
  const std::vector<std::pair<int, int>> rows = {
      {1, 960},    {7, 966},     {96, 960},        {120, 960},       {384, 1152},
      {480, 960},  {959, 1918},  {960, 960},       {961, 961},       {10'080, 10'080},
      {700, 1400}, {1024, 1024}, {32'767, 32'767}, {15'360, 15'360},
  };
  for (const auto& [division, written] : rows) {
    auto [score, performance] = long_piece(2);
    score.division = division;
    EXPECT_EQ(midi_of(score, performance, TimingForm::kTicks).division, written) << division;
  }
}

TEST(PerformanceWriter, EndsTracksAtTheirMomentOrAfterTheirLastEvent) {
  auto [score, performance] = long_piece(2);
  score.tracks[0].end = {5.0};
  EXPECT_EQ(midi_of(score, performance, TimingForm::kTempoMap).tracks[0].end_tick, 5 * 960);
  score.tracks[0].end = {1.0};
  const MidiFile file = midi_of(score, performance, TimingForm::kTempoMap);
  EXPECT_EQ(file.tracks[0].end_tick, file.tracks[0].events.back().tick);
}

TEST(PerformanceWriter, PutsTemposInTheFirstTrackAndNotesInTheirOwn) {
  const Score score = score_from(test::hex(test::kExampleFormat1));
  const MidiFile file = midi_of(score, plain(score), TimingForm::kTempoMap);
  EXPECT_EQ(file.format, 1);
  EXPECT_EQ(events_of(file, 0), "0: FF 58 04 02 18 08\n");
  ASSERT_EQ(file.tracks[0].events.size(), 2u);
  EXPECT_EQ(file.bytes_of(file.tracks[0].events[0])[1], 0x51);
  EXPECT_EQ(events_of(file, 1), "0: C0 05\n1920: 90 4C 20\n3840: 80 4C 00\n");
  EXPECT_EQ(events_of(file, 2), "0: C1 2E\n960: 91 43 40\n3840: 81 43 00\n");
  EXPECT_EQ(events_of(file, 3),
            "0: C2 46\n0: 92 30 60\n0: 92 3C 60\n3840: 82 30 00\n3840: 82 3C 00\n");
}

TEST(PerformanceWriter, EndsANoteATickBeforeAnotherTrackStrikesItsKey) {
  // One channel in two tracks: a player may merge the tracks in any order.
  const Score score =
      score_from(test::hex("4D546864 00000006 0001 0002 0060"
                           "4D54726B 0000000C 60903C40 60803C40 00FF2F00"
                           "4D54726B 0000000C 00903C40 60803C40 00FF2F00"));
  const MidiFile file = midi_of(score, plain(score), TimingForm::kTempoMap);
  EXPECT_EQ(events_of(file, 0), "960: 90 3C 40\n1920: 80 3C 40\n");
  EXPECT_EQ(events_of(file, 1), "0: 90 3C 40\n959: 80 3C 40\n");
}

TEST(PerformanceWriter, TakesNotesOfTwoTracksATickApartForOne) {
  // At 960 ticks a quarter note the first has no tick to give.
  const Score score =
      score_from(test::hex("4D546864 00000006 0001 0002 03C0"
                           "4D54726B 0000000C 01903C40 60803C40 00FF2F00"
                           "4D54726B 0000000C 00903C50 01803C40 00FF2F00"));
  const MidiFile file = midi_of(score, plain(score), TimingForm::kTempoMap);
  EXPECT_EQ(events_of(file, 0), "");
  EXPECT_EQ(events_of(file, 1), "0: 90 3C 50\n97: 80 3C 40\n");
}

TEST(PerformanceWriter, KeepsToTicksThatAFileCanCount) {
  // One microsecond a quarter note, as no music is: at that tempo a second has 960 million ticks.
  auto [score, performance] = long_piece(100);
  score.tempo = TempoMap(std::vector<TempoChange>{{{0.0}, 1}});
  EXPECT_TRUE(write_midi(midi_of(score, performance, TimingForm::kTicks), "f.mid"));
  // And a very slow first tempo, whose ticks would blur what is played in them.
  score.tempo = TempoMap(std::vector<TempoChange>{{{0.0}, 16'777'215}});
  const MidiFile file = midi_of(score, performance, TimingForm::kTicks);
  const auto tempo = file.bytes_of(file.tracks[0].events[0]);
  EXPECT_EQ(tempo[2] << 16 | tempo[3] << 8 | tempo[4], 3'000'000);
}

TEST(PerformanceWriter, WritesASilentNoteNotAtAll) {
  const Score score = score_from(test::one_track("00903C40 00904040 60803C40 00804040 00FF2F00"));
  Performance performance = plain(score);
  performance.notes[0].sounds = false;
  EXPECT_EQ(events_of(midi_of(score, performance, TimingForm::kTicks), 0),
            "0: 90 40 40\n960: 80 40 40\n");
}

TEST(PerformanceWriter, KeepsTheReleaseVelocity) {
  const Score score = score_from(test::one_track("00903C40 60803C55 00FF2F00"));
  EXPECT_EQ(events_of(midi_of(score, plain(score), TimingForm::kTempoMap), 0),
            "0: 90 3C 40\n960: 80 3C 55\n");
}

TEST(PerformanceWriter, WritesTheSameBytesForTheSameInput) {
  const auto [score, performance] = long_piece(50);
  const Result<Bytes> once = write_midi(midi_of(score, performance, TimingForm::kTempoMap), "a");
  const Result<Bytes> again = write_midi(midi_of(score, performance, TimingForm::kTempoMap), "a");
  EXPECT_EQ(*once, *again);
}

}  // namespace
}  // namespace arsis
