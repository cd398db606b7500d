// Several files made one: what follows what, when, and what a reader of another make says of it.
#include "smf/joining.h"

#include <gtest/gtest.h>

#include <map>
#include <string>

#include "smf/hex.h"
#include "smf/libsmf.h"

namespace arsis {
namespace {

using test::events_of;
using test::hex;

struct Event {
  std::int64_t tick;
  const char* bytes;
};

void add_track(MidiFile& file, const std::vector<Event>& events, std::int64_t end) {
  const std::size_t index = file.tracks.size();
  file.tracks.emplace_back();
  for (const Event& event : events) file.append(index, event.tick, hex(event.bytes));
  file.tracks[index].end_tick = end;
}

// Two quarter notes and a bit at 120 a minute, with a heading, in two tracks.
MidiFile short_file() {
  MidiFile file;
  file.division = 96;
  add_track(file,
            {{0, "FF 03 41"}, {0, "FF 02 43"}, {0, "FF 58 03 02 18 08"}, {0, "FF 51 07 A1 20"}}, 0);
  add_track(file, {{0, "FF 03 42"}, {0, "C1 05"}, {0, "91 3C 40"}, {200, "81 3C 40"}}, 200);
  return file;
}

TEST(Joined, HasEachFileAfterASilenceWithAMarker) {
  const std::vector<NamedMidi> pieces = {{short_file(), "one"}, {short_file(), "two"}};
  const JoinedMidi made = joined(pieces, {1.0});
  // 200 ticks are two quarters and 8: the silence goes to the end of the fourth.
  EXPECT_EQ(events_of(made.file, 0),
            "0: FF 06 6F 6E 65\n0: FF 03 41\n0: FF 02 43\n0: FF 58 03 02 18 08\n"
            "384: FF 06 74 77 6F\n384: FF 58 03 02 18 08\n");
  EXPECT_EQ(events_of(made.file, 1),
            "0: FF 03 42\n0: C1 05\n0: 91 3C 40\n200: 81 3C 40\n"
            "384: B1 79 00\n384: C1 05\n384: 91 3C 40\n584: 81 3C 40\n");
  for (const MidiTrack& track : made.file.tracks) EXPECT_EQ(track.end_tick, 584);
  ASSERT_EQ(made.begins.size(), 2u);
  EXPECT_EQ(made.begins[0].value, 0.0);
  EXPECT_NEAR(made.begins[1].value, 200.0 / 96 * 0.5 + 1.0, 1e-6);
}

TEST(Joined, IsTheFileItselfWithAMarkerWhereItIsAlone) {
  const std::vector<NamedMidi> pieces = {{short_file(), "one"}};
  const JoinedMidi made = joined(pieces, {1.0});
  EXPECT_EQ("0: FF 06 6F 6E 65\n" + events_of(short_file(), 0), events_of(made.file, 0));
  EXPECT_EQ(events_of(short_file(), 1), events_of(made.file, 1));
}

// Second opinion: libsmf's seconds at each marker, of files whose tempo changes on the way.
TEST(Joined, BeginsEachWhereAnotherReaderHearsIt) {
  std::vector<NamedMidi> pieces;
  for (int i = 0; i < 4; ++i) {
    MidiFile file = short_file();
    file.tracks[0].end_tick = 90 + 37 * i;
    file.append(0, 30, hex("FF 51 0A 2C 2A"));
    file.append(0, 77 + i, hex("FF 51 03 0D 40"));
    pieces.push_back({file, std::string(1, static_cast<char>('a' + i))});
  }
  const JoinedMidi made = joined(pieces, {1.25});
  const Result<Bytes> bytes = write_midi(made.file, "x.mid");
  ASSERT_TRUE(bytes);
  const test::LibsmfFile smf = test::read_by_libsmf(*bytes);
  ASSERT_NE(smf, nullptr);
  std::map<std::string, double> heard;
  smf_rewind(smf.get());
  while (const smf_event_t* event = smf_get_next_event(smf.get())) {
    if (event->midi_buffer_length > 3 && event->midi_buffer[1] == 0x06) {
      heard[std::string(1, static_cast<char>(event->midi_buffer[3]))] = event->time_seconds;
    }
  }
  ASSERT_EQ(heard.size(), 4u);
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_NEAR(heard[pieces[i].name], made.begins[i].value, 1e-5) << pieces[i].name;
  }
}

}  // namespace
}  // namespace arsis
