// Random performances as MIDI files, read back by libsmf with the tempo integrated here: every note
// within one tick of the performance's time.
#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>
#include <vector>

#include "property.h"
#include "smf/libsmf.h"
#include "smf/performance_writer.h"

namespace arsis {
namespace {

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

// What one player does, who merges the tracks in their order or in the reverse one.
ReadBack played(std::vector<const smf_event_t*> events, bool reversed) {
  std::ranges::stable_sort(events, [&](const smf_event_t* a, const smf_event_t* b) {
    if (a->time_pulses != b->time_pulses) return a->time_pulses < b->time_pulses;
    return reversed && a->track_number > b->track_number;
  });
  ReadBack read;
  for (const smf_event_t* event : events) {
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

// libsmf's own merging (smf_get_next_event) does not keep to the ticks: we take its tracks.
ReadBack read_back(const Bytes& file) {
  Bytes bytes = file;
  const test::LibsmfFile smf = test::read_by_libsmf(bytes);
  if (smf == nullptr) return {};
  std::vector<const smf_event_t*> events;
  for (int i = 1; i <= smf->number_of_tracks; ++i) {
    const smf_track_t* track = smf_get_track_by_number(smf.get(), i);
    for (int k = 1; k <= track->number_of_events; ++k) {
      events.push_back(smf_track_get_event_by_number(track, k));
    }
  }
  ReadBack read = played(events, false);
  read.overlaps = read.overlaps || played(events, true).overlaps;
  read.division = smf->ppqn;
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

// Two keys in two channels; the first channel's notes are spread over two tracks.
Score random_score() {
  Score score;
  score.division = *rc::gen::element(1, 7, 24, 96, 480, 960, 1000, 10'080);
  score.tracks = {{"", {0.0}}, {"", {0.0}}};
  score.parts = {{"", 0, 1, 0}, {"", 1, 2, 0}, {"", 1, 2, 1}};
  std::vector<TempoChange> tempos;
  std::int64_t tick = 0;
  std::array<std::int64_t, 4> free_at{};  // of each key of each channel
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
    note.part = static_cast<std::uint16_t>(row < 2 ? *rc::gen::inRange(0, 2) : 2);
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

// A time map that bends, and notes a little off their beats; some on them.
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
    played.onset += Seconds{slack * *rc::gen::element(0, 0, 1, 5, 20, 39) / 100.0};
    played.end -= Seconds{slack * *rc::gen::inRange(0, 40) / 100.0};
    played.velocity = Velocity::clamped(*rc::gen::inRange(1, 128));
    performance.notes.push_back(played);
  }
  return performance;
}

// Notes that are played on their beat stand on it, exactly.
void check_beats(const Score& score, const Performance& performance, const ReadBack& read) {
  for (const TimeMap::Knot& knot : performance.time.knots()) {
    const double tick = knot.beat.value * read.division;
    if (std::abs(tick - std::round(tick)) > 1e-6) return;  // bends between two ticks
  }
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const Note& note = score.notes[i];
    if (performance.notes[i].onset != performance.time.seconds_at(note.onset)) continue;
    const auto row = read.notes.find({score.parts[note.part].channel, note.key});
    RC_ASSERT(row != read.notes.end());
    const std::int64_t tick = std::llround(note.onset.value * read.division);
    RC_ASSERT(std::ranges::count(row->second, tick, &ReadNote::on) == 1);
  }
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
        together = together || (row[i].onset - row[i - 1].onset).value <
                                   2 * tick_length(read, found->second[0].on);
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
      // Its end too, but where it has to last a tick or to leave one before the next of its key.
      const long double late = seconds_at(read, note.off) - row[i].end.value;
      RC_ASSERT(late >= -2 * tick_length(read, note.off));
      RC_ASSERT(late <= tick_length(read, note.off) || note.off == note.on + 1);
    }
  }
  if (form == TimingForm::kTempoMap) check_beats(score, performance, read);
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

}  // namespace
}  // namespace arsis
