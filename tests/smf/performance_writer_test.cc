// A performance as a MIDI file, read back by libsmf with the tempo integrated here: every onset
// within one tick of the performance's time.
#include "smf/performance_writer.h"

#include <gtest/gtest.h>
// libsmf's header needs glib's before it.
#include <glib.h>
#include <smf.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <memory>
#include <string>
#include <tuple>
#include <vector>

#include "property.h"
#include "smf/hex.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

struct SmfDeleter {
  void operator()(smf_t* smf) const { smf_delete(smf); }
};

struct ReadNote {
  std::int64_t on = 0;
  std::int64_t off = -1;
  int velocity = 0;
};

// What libsmf finds in a file: notes by key and channel in order, and its tempo events.
struct ReadBack {
  int division = 0;
  std::vector<std::pair<std::int64_t, std::int64_t>> tempos;  // tick, microseconds a quarter note
  std::map<std::pair<int, int>, std::vector<ReadNote>> notes;
  bool overlaps = false;
};

ReadBack read_back(const Bytes& file) {
  Bytes bytes = file;
  const std::unique_ptr<smf_t, SmfDeleter> smf(
      smf_load_from_memory(bytes.data(), static_cast<int>(bytes.size())));
  ReadBack read;
  if (smf == nullptr) return read;
  read.division = smf->ppqn;
  while (const smf_event_t* event = smf_get_next_event(smf.get())) {
    const unsigned char* data = event->midi_buffer;
    const std::int64_t tick = event->time_pulses;
    if (data[0] == 0xFF && data[1] == 0x51) {
      read.tempos.emplace_back(tick, data[3] << 16 | data[4] << 8 | data[5]);
    }
    const int kind = data[0] & 0xF0;
    if (kind != 0x90 && kind != 0x80) continue;
    std::vector<ReadNote>& row = read.notes[{data[0] & 0x0F, data[1]}];
    if (kind == 0x90 && data[2] > 0) {
      if (!row.empty() && row.back().off < 0) read.overlaps = true;
      row.push_back({tick, -1, data[2]});
    } else if (!row.empty()) {
      if (row.back().off >= 0 || row.back().on >= tick) read.overlaps = true;
      row.back().off = tick;
    }
  }
  return read;
}

// Seconds at a tick by the file's own tempo events; 120 quarter notes a minute before the first.
long double seconds_at(const ReadBack& read, std::int64_t tick) {
  long double seconds = 0;
  std::int64_t at = 0;
  std::int64_t tempo = 500'000;
  for (const auto& [change, microseconds] : read.tempos) {
    if (change >= tick) break;
    seconds += static_cast<long double>(change - at) * tempo / read.division / 1e6L;
    at = change;
    tempo = microseconds;
  }
  return seconds + static_cast<long double>(tick - at) * tempo / read.division / 1e6L;
}

// Length of the longest tick there is around a moment.
long double tick_length(const ReadBack& read, std::int64_t tick) {
  std::int64_t before = 500'000;
  std::int64_t here = 500'000;
  for (const auto& [change, microseconds] : read.tempos) {
    if (change < tick) before = microseconds;
    if (change <= tick) here = microseconds;
  }
  return static_cast<long double>(std::max(before, here)) / read.division / 1e6L;
}

Score random_score() {
  Score score;
  score.division = *rc::gen::element(1, 7, 24, 96, 480, 960, 1000, 10'080);
  score.tracks = {{"", {0.0}}, {"", {0.0}}};
  score.parts = {{"", 0, 1, 0}, {"", 1, 2, 1}};
  std::vector<TempoChange> tempos;
  std::int64_t tick = 0;
  std::array<std::int64_t, 4> free_at{};  // of two keys in two parts
  const int count = *rc::gen::inRange(1, 25);
  for (int i = 0; i < count; ++i) {
    tick += *rc::gen::inRange(0, 2 * score.division + 1);
    const auto row = static_cast<std::size_t>(*rc::gen::inRange(0, 4));
    const std::int64_t onset = std::max(tick, free_at[row]);
    const std::int64_t length = *rc::gen::inRange(1, 2 * score.division + 2);
    free_at[row] = onset + length;
    Note note;
    note.onset = {static_cast<double>(onset) / score.division};
    note.end = {static_cast<double>(onset + length) / score.division};
    note.sequence = static_cast<std::uint32_t>(i);
    note.part = static_cast<std::uint16_t>(row / 2);
    note.key = static_cast<std::uint8_t>(60 + row % 2);
    score.notes.push_back(note);
    if (i % 5 == 0) {
      tempos.push_back(
          {{static_cast<double>(tick) / score.division}, *rc::gen::inRange(100'000, 2'000'000)});
    }
  }
  std::ranges::sort(score.notes, [](const Note& a, const Note& b) {
    return std::tuple(a.onset, a.part, a.key) < std::tuple(b.onset, b.part, b.key);
  });
  score.tempo = TempoMap(tempos);
  return score;
}

// A time map that bends, and notes a little off their beats.
Performance random_performance(const Score& score) {
  std::vector<TimeMap::Knot> knots = {{{0.0}, {0.0}}};
  const double end = score.end().value + 1.0;
  while (knots.back().beat.value < end) {
    const double step = *rc::gen::element(0.25, 0.5, 1.0, 0.125, 1.0 / 3.0);
    const double pace = 0.2 + *rc::gen::inRange(0, 1000) / 1000.0;  // seconds a quarter note
    knots.push_back({knots.back().beat + Beats{step}, knots.back().second + Seconds{step * pace}});
  }
  Performance performance;
  performance.time = TimeMap(knots);
  for (const Note& note : score.notes) {
    PerformedNote played;
    played.onset = performance.time.seconds_at(note.onset);
    played.end = performance.time.seconds_at(note.end);
    const double slack = (played.end - played.onset).value;
    played.onset += Seconds{slack * *rc::gen::inRange(0, 40) / 100.0};
    played.end -= Seconds{slack * *rc::gen::inRange(0, 40) / 100.0};
    played.velocity = Velocity::clamped(*rc::gen::inRange(1, 128));
    performance.notes.push_back(played);
  }
  return performance;
}

void check_against_time(const Score& score, const Performance& performance, TimingForm form) {
  const Result<Bytes> bytes = write_midi(midi_of(score, performance, form), "f.mid");
  RC_ASSERT(static_cast<bool>(bytes));
  const ReadBack read = read_back(*bytes);
  RC_ASSERT(read.division >= 960);
  RC_ASSERT(read.division % score.division == 0);
  RC_ASSERT(!read.overlaps);
  if (form == TimingForm::kTicks) RC_ASSERT(read.tempos.size() == 1u);
  // The performed notes of each key in order of onset, against the read ones.
  std::map<std::pair<int, int>, std::vector<PerformedNote>> expected;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    expected[{score.parts[score.notes[i].part].channel, score.notes[i].key}].push_back(
        performance.notes[i]);
  }
  for (auto& [key, row] : expected) {
    const auto found = read.notes.find(key);
    RC_ASSERT(found != read.notes.end());
    std::ranges::sort(row, {}, &PerformedNote::onset);
    // Two strikes that round to one tick are written as one: at the most so many fewer.
    if (found->second.size() != row.size()) {
      bool together = false;
      for (std::size_t i = 1; i < row.size(); ++i) {
        together = together || (row[i].onset - row[i - 1].onset).value < 0.002;
      }
      RC_ASSERT(together);
      continue;
    }
    for (std::size_t i = 0; i < row.size(); ++i) {
      const ReadNote& note = found->second[i];
      const long double off = seconds_at(read, note.on) - row[i].onset.value;
      RC_ASSERT(std::abs(off) <= tick_length(read, note.on));
      RC_ASSERT(note.velocity == row[i].velocity.value());
      RC_ASSERT(note.off > note.on);
    }
  }
}

TEST(PerformanceWriter, SoundsEveryNoteWithinATickOfItsTimeInTheTempoMapForm) {
  EXPECT_TRUE(test::holds(10'000, [] {
    const Score score = random_score();
    check_against_time(score, random_performance(score), TimingForm::kTempoMap);
  }));
}

TEST(PerformanceWriter, SoundsEveryNoteWithinATickOfItsTimeInTheTicksForm) {
  EXPECT_TRUE(test::holds(10'000, [] {
    const Score score = random_score();
    check_against_time(score, random_performance(score), TimingForm::kTicks);
  }));
}

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

// The events of a track as "tick: bytes", without tempos.
std::string events_of(const MidiFile& file, std::size_t track) {
  std::string text;
  char buffer[16];
  for (const MidiEvent& event : file.tracks[track].events) {
    const auto bytes = file.bytes_of(event);
    if (bytes[0] == 0xFF && bytes[1] == 0x51) continue;
    text += std::to_string(event.tick) + ":";
    for (const std::uint8_t byte : bytes) {
      std::snprintf(buffer, sizeof buffer, " %02X", byte);
      text += buffer;
    }
    text += "\n";
  }
  return text;
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
