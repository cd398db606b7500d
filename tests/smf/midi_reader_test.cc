// Reading Standard MIDI Files: right ones, damaged ones, and those that cannot be read.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "smf/hex.h"
#include "smf/midi_file.h"
#include "smf/variable_length.h"

namespace arsis {
namespace {

using test::hex;
using test::one_track;

// "tick: bytes" of every event, a track after the other, and the tracks' ends.
std::string dump(const MidiFile& file) {
  std::string text;
  char buffer[32];
  for (const MidiTrack& track : file.tracks) {
    for (const MidiEvent& event : track.events) {
      text += std::to_string(event.tick) + ":";
      for (const std::uint8_t byte : file.bytes_of(event)) {
        std::snprintf(buffer, sizeof buffer, " %02X", byte);
        text += buffer;
      }
      text += "\n";
    }
    text += std::to_string(track.end_tick) + ": end\n";
  }
  return text;
}

std::string messages_of(const Diagnostics& diagnostics) {
  std::string text;
  for (const Diagnostic& diagnostic : diagnostics) text += to_string(diagnostic) + "\n";
  return text;
}

TEST(VariableLength, FollowsTheTableOfTheStandard) {
  // Source: Standard MIDI Files 1.0, table of variable-length quantities; 480 and 960 computed.
  const std::vector<std::pair<std::uint32_t, const char*>> rows = {{0x00, "00"},
                                                                   {0x40, "40"},
                                                                   {0x7F, "7F"},
                                                                   {0x80, "8100"},
                                                                   {0x2000, "C000"},
                                                                   {0x3FFF, "FF7F"},
                                                                   {0x4000, "818000"},
                                                                   {0x100000, "C08000"},
                                                                   {0x1FFFFF, "FFFF7F"},
                                                                   {0x200000, "81808000"},
                                                                   {0x8000000, "C0808000"},
                                                                   {0xFFFFFFF, "FFFFFF7F"},
                                                                   {480, "8360"},
                                                                   {960, "8740"}};
  for (const auto& [quantity, bytes] : rows) {
    SCOPED_TRACE(quantity);
    Bytes written;
    put_variable_length(written, quantity);
    EXPECT_EQ(written, hex(bytes));
    // Read back as the delta time of a note.
    Bytes track = written;
    const Bytes note = hex("903C40 00FF2F00");
    track.insert(track.end(), note.begin(), note.end());
    Bytes file = hex("4D546864 00000006 0000 0001 0060 4D54726B 000000");
    file.push_back(static_cast<std::uint8_t>(track.size()));
    file.insert(file.end(), track.begin(), track.end());
    const Result<MidiFile> read = read_midi(file, "f.mid");
    ASSERT_TRUE(read) << messages_of(read.diagnostics());
    ASSERT_EQ(read->tracks[0].events.size(), 1u);
    EXPECT_EQ(read->tracks[0].events[0].tick, quantity);
  }
}

TEST(MidiReader, ReadsTheStandardsExampleOfFormat0) {
  const Result<MidiFile> file = read_midi(hex(test::kExampleFormat0), "f.mid");
  ASSERT_TRUE(file);
  EXPECT_TRUE(file.diagnostics().empty()) << messages_of(file.diagnostics());
  EXPECT_EQ(file->format, 0);
  EXPECT_EQ(file->division, 96);
  EXPECT_EQ(dump(*file),
            "0: FF 58 04 02 18 08\n0: FF 51 07 A1 20\n0: C0 05\n0: C1 2E\n0: C2 46\n"
            "0: 92 30 60\n0: 92 3C 60\n96: 91 43 40\n192: 90 4C 20\n"
            "384: 82 30 40\n384: 82 3C 40\n384: 81 43 40\n384: 80 4C 40\n384: end\n");
}

TEST(MidiReader, ReadsTheStandardsExampleOfFormat1WithRunningStatus) {
  const Result<MidiFile> file = read_midi(hex(test::kExampleFormat1), "f.mid");
  ASSERT_TRUE(file);
  EXPECT_TRUE(file.diagnostics().empty()) << messages_of(file.diagnostics());
  EXPECT_EQ(file->format, 1);
  EXPECT_EQ(dump(*file),
            "0: FF 58 04 02 18 08\n0: FF 51 07 A1 20\n384: end\n"
            "0: C0 05\n192: 90 4C 20\n384: 90 4C 00\n384: end\n"
            "0: C1 2E\n96: 91 43 40\n384: 91 43 00\n384: end\n"
            "0: C2 46\n0: 92 30 60\n0: 92 3C 60\n384: 92 30 00\n384: 92 3C 00\n384: end\n");
}

TEST(MidiReader, KeepsEveryKindOfEventInItsOrderWithinATick) {
  std::string long_text = "00 FF01 8148";  // a text of 200 bytes
  std::string long_bytes;
  for (int i = 0; i < 200; ++i) {
    long_text += "41";
    long_bytes += " 41";
  }
  const Result<MidiFile> file =
      read_midi(one_track("00 B04000 00 F0 05 43 12 00 41 F7 00 F7 03 F3 01 F7 00 903C40" +
                          long_text + "00 A03C10 00 D020 00 E00040 00 FF7F00 00 FF2F00"),
                "f.mid");
  ASSERT_TRUE(file);
  EXPECT_TRUE(file.diagnostics().empty()) << messages_of(file.diagnostics());
  EXPECT_EQ(dump(*file),
            "0: B0 40 00\n0: F0 43 12 00 41 F7\n0: F7 F3 01 F7\n0: 90 3C 40\n0: FF 01" +
                long_bytes + "\n0: A0 3C 10\n0: D0 20\n0: E0 00 40\n0: FF 7F\n0: end\n");
}

TEST(MidiReader, UnwrapsRiff) {
  const Bytes inner = hex(test::kExampleFormat0);
  Bytes file = hex(
      "52494646 68000000 524D4944 44495350 03000000 414243 00 64617461");  // RIFF RMID DISP data
  file.push_back(static_cast<std::uint8_t>(inner.size()));
  file.insert(file.end(), {0, 0, 0});
  file.insert(file.end(), inner.begin(), inner.end());
  const Result<MidiFile> read = read_midi(file, "f.rmi");
  ASSERT_TRUE(read);
  EXPECT_TRUE(read.diagnostics().empty()) << messages_of(read.diagnostics());
  EXPECT_EQ(read->tracks[0].events.size(), 13u);
}

TEST(MidiReader, PassesOverUnknownChunksAndLongerHeaders) {
  const Result<MidiFile> read = read_midi(hex("4D546864 00000008 0001 0001 0060 BEEF"
                                              "58595A20 00000003 010203"
                                              "4D54726B 00000008 00903C40 00FF2F00"
                                              "58595A20 00000001 09"),
                                          "f.mid");
  ASSERT_TRUE(read);
  EXPECT_TRUE(read.diagnostics().empty()) << messages_of(read.diagnostics());
  EXPECT_EQ(dump(*read), "0: 90 3C 40\n0: end\n");
}

struct Refused {
  const char* bytes;
  const char* message;
};

TEST(MidiReader, RefusesWhatItCannotRead) {
  const std::vector<Refused> rows = {
      {"", "f.mid: is empty; a Standard MIDI File is needed\n"},
      {"4D5468", "f.mid: is not a MIDI file; a Standard MIDI File begins with 'MThd'\n"},
      {"504B0304 00000006 0000 0001 0060 00000000",
       "f.mid: is not a MIDI file; a Standard MIDI File begins with 'MThd'\n"},
      {"4D546864 00000006 0002 0001 0060 4D54726B 00000004 00FF2F00",
       "f.mid: is of format 2 (independent patterns); export it as format 0 or 1\n"},
      {"4D546864 00000006 0007 0001 0060 4D54726B 00000004 00FF2F00",
       "f.mid: is of the unknown format 7; export it as format 0 or 1\n"},
      {"4D546864 00000006 0001 0001 E728 4D54726B 00000004 00FF2F00",
       "f.mid: counts SMPTE frames instead of beats; export it with ticks per quarter note\n"},
      {"4D546864 00000006 0001 0001 0000 4D54726B 00000004 00FF2F00",
       "f.mid: has no ticks in a quarter note (division 0); export it anew\n"},
      {"4D546864 00000006 0001 0000 0060", "f.mid: holds no tracks; export it anew\n"},
      {"52494646 00000010 524D4944 66616374 00000000",
       "f.mid: is not a MIDI file; a Standard MIDI File begins with 'MThd'\n"},
  };
  for (const Refused& row : rows) {
    SCOPED_TRACE(row.bytes);
    const Result<MidiFile> read = read_midi(hex(row.bytes), "f.mid");
    EXPECT_FALSE(read);
    EXPECT_EQ(messages_of(read.diagnostics()), row.message);
  }
}

struct Damaged {
  const char* what;
  Bytes bytes;
  const char* events;
  const char* message;
};

TEST(MidiReader, ReadsDamagedTracksAsFarAsSensible) {
  const std::string head = "4D546864 00000006 0001 0001 0060 4D54726B ";
  const std::vector<Damaged> rows = {
      {"no end of track", one_track("00903C40 60803C40"), "0: 90 3C 40\n96: 80 3C 40\n96: end\n",
       "f.mid: track 1, byte 30: warning: the track has no end-of-track event; it is read up to "
       "here\n"},
      {"chunk length past the end of the file", hex(head + "000000FF 00903C40 00FF2F00"),
       "0: 90 3C 40\n0: end\n",
       "f.mid: track 1, byte 14: warning: the chunk's length is wrong; the track is read to its "
       "end\n"},
      {"file cut off inside the track", hex(head + "000000FF 00903C40 60803C40"),
       "0: 90 3C 40\n96: 80 3C 40\n96: end\n",
       "f.mid: track 1, byte 30: warning: the file ends inside this track; it is read up to "
       "here\n"},
      {"chunk length too short", hex(head + "00000004 00903C40 60803C40 00FF2F00"),
       "0: 90 3C 40\n96: 80 3C 40\n96: end\n",
       "f.mid: track 1, byte 26: warning: the chunk's length is too short; the track is read on to "
       "its "
       "end\n"},
      {"chunk length too short, and another track",
       hex("4D546864 00000006 0001 0002 0060 4D54726B 00000004 00903C40 60803C40 00FF2F00"
           "4D54726B 00000008 00904040 00FF2F00"),
       "0: 90 3C 40\n96: 80 3C 40\n96: end\n0: 90 40 40\n0: end\n",
       "f.mid: track 1, byte 26: warning: the chunk's length is too short; the track is read on to "
       "its end\n"},
      {"chunk length too short, no end of track, and another track",
       hex("4D546864 00000006 0001 0002 0060 4D54726B 00000004 00903C40 60803C40"
           "4D54726B 00000008 00904040 00FF2F00"),
       "0: 90 3C 40\n96: 80 3C 40\n96: end\n0: 90 40 40\n0: end\n",
       "f.mid: track 1, byte 26: warning: the chunk's length is too short; the track is read on to "
       "its end\n"
       "f.mid: track 1, byte 30: warning: the track has no end-of-track event; it is read up to "
       "here\n"},
      {"chunk length past the end of the file, and another track",
       hex("4D546864 00000006 0001 0002 0060 4D54726B 7FFFFFFF 00903C40 00FF2F00"
           "4D54726B 00000008 00904040 00FF2F00"),
       "0: 90 3C 40\n0: end\n0: 90 40 40\n0: end\n",
       "f.mid: track 1, byte 14: warning: the chunk's length is wrong; the next track is looked "
       "for "
       "after the end of this one\n"},
      {"chunk length past the end of the file, no end of track, and another track",
       hex("4D546864 00000006 0001 0002 0060 4D54726B 7FFFFFFF 00903C40"
           "4D54726B 00000008 00904040 00FF2F00"),
       "0: 90 3C 40\n0: end\n0: 90 40 40\n0: end\n",
       "f.mid: track 1, byte 26: warning: the track has no end-of-track event; it is read up to "
       "here\n"
       "f.mid: track 1, byte 14: warning: the chunk's length is wrong; the next track is looked "
       "for "
       "after the end of this one\n"},
      {"an unknown chunk whose length covers the tracks",
       hex("4D546864 00000006 0001 0001 0060 58595A20 00FFFFFF 4D54726B 00000008 00903C40 "
           "00FF2F00"),
       "0: 90 3C 40\n0: end\n",
       "f.mid: byte 14: warning: a chunk's length is wrong; the next track is looked for inside "
       "it\n"},
      {"a track of format 0 too many",
       hex("4D546864 00000006 0000 0001 0060 4D54726B 00000008 00903C40 00FF2F00"
           "4D54726B 00000004 00FF2F00"),
       "0: 90 3C 40\n0: end\n0: end\n",
       "f.mid: byte 10: warning: the header counts 1 tracks, the file holds 2; all of them are "
       "read\n"},
      {"event cut off", one_track("00903C40 60803C"), "0: 90 3C 40\n96: end\n",
       "f.mid: track 1, byte 26: warning: an event is cut off; the track is read up to here\n"},
      {"meta longer than its track", one_track("00903C40 00FF017F41"), "0: 90 3C 40\n0: end\n",
       "f.mid: track 1, byte 26: warning: an event is cut off; the track is read up to here\n"},
      {"data without a status", one_track("003C40 00903C40 00FF2F00"), "0: 90 3C 40\n0: end\n",
       "f.mid: track 1, byte 22: warning: data without a status; they are left out\n"},
      {"delta time of five bytes", one_track("00903C40 8180808000 903C40 00FF2F00"),
       "0: 90 3C 40\n0: end\n",
       "f.mid: track 1, byte 26: warning: a delta time is cut off or too long; the track is read "
       "up to "
       "here\n"},
      {"events after the end of track", one_track("00903C40 00FF2F00 00904040 00FF2F00"),
       "0: 90 3C 40\n0: end\n",
       "f.mid: track 1, byte 30: warning: bytes after the end of the track; they are left out\n"},
      {"a real-time message", one_track("00F8 00903C40 00FF2F00"), "0: 90 3C 40\n0: end\n",
       "f.mid: track 1, byte 22: warning: the message F8 cannot stand in a file; it is left out\n"},
      {"a song position", one_track("00F20102 00903C40 00FF2F00"), "0: 90 3C 40\n0: end\n",
       "f.mid: track 1, byte 22: warning: the message F2 cannot stand in a file; it is left out\n"},
      {"running status after a system-exclusive", one_track("00903C40 00F00141 00 4040 00FF2F00"),
       "0: 90 3C 40\n0: F0 41\n0: 90 40 40\n0: end\n",
       "f.mid: track 1, byte 30: warning: running status goes on after another kind of event; it "
       "is "
       "taken as meant\n"},
      {"a message cut off by the next", one_track("00903C 804040 00903C40 00FF2F00"),
       "0: 80 40 40\n0: 90 3C 40\n0: end\n",
       "f.mid: track 1, byte 22: warning: a message is cut off by the next one; it is left out\n"},
      {"too large a track count",
       hex("4D546864 00000006 0001 0009 0060 4D54726B 00000008 00903C40 "
           "00FF2F00"),
       "0: 90 3C 40\n0: end\n",
       "f.mid: byte 10: warning: the header counts 9 tracks, the file holds 1; all of them are "
       "read\n"},
      {"rubbish after the last track",
       hex("4D546864 00000006 0001 0001 0060 4D54726B 00000008 00903C40 00FF2F00 0102030405"),
       "0: 90 3C 40\n0: end\n",
       "f.mid: byte 30: warning: bytes that belong to no chunk; they are left out\n"},
      {"a track of no bytes",
       hex("4D546864 00000006 0001 0002 0060 4D54726B 00000000 4D54726B 00000008 00903C40 "
           "00FF2F00"),
       "0: end\n0: 90 3C 40\n0: end\n",
       "f.mid: track 1, byte 22: warning: the track has no end-of-track event; it is read up to "
       "here\n"},
  };
  for (const Damaged& row : rows) {
    SCOPED_TRACE(row.what);
    const Result<MidiFile> read = read_midi(row.bytes, "f.mid");
    ASSERT_TRUE(read) << messages_of(read.diagnostics());
    EXPECT_EQ(dump(*read), row.events);
    EXPECT_EQ(messages_of(read.diagnostics()), row.message);
  }
}

TEST(MidiReader, ReadsOnWhereverAShortLengthCutsTheTrack) {
  // True length 12; every shorter one that leaves at least an event's beginning inside.
  for (const char* length : {"04", "05", "06", "07", "08", "09", "0A", "0B"}) {
    SCOPED_TRACE(length);
    const Result<MidiFile> read =
        read_midi(hex(std::string("4D546864 00000006 0001 0002 0060 4D54726B 000000") + length +
                      "00903C40 60803C40 00FF2F00 4D54726B 00000008 00904040 00FF2F00"),
                  "f.mid");
    ASSERT_TRUE(read);
    EXPECT_EQ(dump(*read), "0: 90 3C 40\n96: 80 3C 40\n96: end\n0: 90 40 40\n0: end\n");
    EXPECT_EQ(read.diagnostics().size(), 1u) << messages_of(read.diagnostics());
  }
}

TEST(MidiReader, FindsTheTracksBehindAWrongHeaderLength) {
  for (const char* length : {"00000007", "00000064", "06000000", "00000000"}) {
    SCOPED_TRACE(length);
    const Result<MidiFile> read =
        read_midi(hex(std::string("4D546864 ") + length +
                      "0001 0001 0060 4D54726B 00000008 00903C40 00FF2F00"),
                  "f.mid");
    ASSERT_TRUE(read) << messages_of(read.diagnostics());
    EXPECT_EQ(dump(*read), "0: 90 3C 40\n0: end\n");
  }
}

TEST(MidiReader, FindsTheNextTrackBehindAWrongLength) {
  const Result<MidiFile> read = read_midi(hex("4D546864 00000006 0001 0002 0060"
                                              "4D54726B 0000000C 00903C40 00FF2F00"
                                              "4D54726B 00000008 00904040 00FF2F00"),
                                          "f.mid");
  ASSERT_TRUE(read);
  EXPECT_EQ(dump(*read), "0: 90 3C 40\n0: end\n0: 90 40 40\n0: end\n");
  EXPECT_EQ(
      messages_of(read.diagnostics()),
      "f.mid: track 1, byte 14: warning: the chunk's length is wrong; the next track is looked "
      "for after the end of this one\n");
}

TEST(MidiReader, TellsOfManyDamagesOfAKindOnceForAll) {
  std::string events;
  for (int i = 0; i < 1000; ++i) events += "00F8 00F20102";
  const Result<MidiFile> read = read_midi(one_track(events + "00903C40"), "f.mid");
  ASSERT_TRUE(read);
  ASSERT_EQ(read.diagnostics().size(), 5u + 5u + 1u + 2u);
  EXPECT_EQ(messages_of({read.diagnostics().begin() + 10, read.diagnostics().end()}),
            "f.mid: track 1, byte 6026: warning: the track has no end-of-track event; it is read "
            "up to here\n"
            "f.mid: warning: the message F2 cannot stand in a file, 995 more times; it is left "
            "out\n"
            "f.mid: warning: the message F8 cannot stand in a file, 995 more times; it is left "
            "out\n");
}

TEST(MidiReader, RefusesTooLargeAFile) {
  EXPECT_EQ(messages_of(read_midi(Bytes(kMostMidiBytes + 1), "f.mid").diagnostics()),
            "f.mid: is too large; at most 67108864 bytes are read\n");
}

TEST(MidiReader, RefusesTooManyEvents) {
  // Two tracks of program changes in running status, one event more than is read.
  Bytes file = hex("4D546864 00000006 0001 0002 0060");
  for (int i = 0; i < 2; ++i) {
    const std::size_t events = kMostMidiEvents / 2 + static_cast<std::size_t>(i);
    Bytes track = hex("00C000");
    track.resize(3 + 2 * (events - 1));
    track.insert(track.end(), {0x00, 0xFF, 0x2F, 0x00});
    const Bytes head = hex("4D54726B");
    file.insert(file.end(), head.begin(), head.end());
    for (int shift = 24; shift >= 0; shift -= 8) {
      file.push_back(static_cast<std::uint8_t>(track.size() >> shift));
    }
    file.insert(file.end(), track.begin(), track.end());
  }
  EXPECT_EQ(messages_of(read_midi(file, "f.mid").diagnostics()),
            "f.mid: holds too many events; at most 8000000 are read\n");
}

TEST(MidiReader, WritesNothingToTheTerminal) {
  ::testing::internal::CaptureStderr();
  ::testing::internal::CaptureStdout();
  // Events at which libsmf grumbles: sequence numbers, unknown metas, empty texts.
  const Result<MidiFile> read = read_midi(
      one_track("00FF000100 00FF7F00 00FF0100 00FF5400 00FF580108 00FF5900 00903C40 00FF2F00"),
      "f.mid");
  EXPECT_EQ(::testing::internal::GetCapturedStdout(), "");
  EXPECT_EQ(::testing::internal::GetCapturedStderr(), "");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->tracks[0].events.size(), 7u);
}

}  // namespace
}  // namespace arsis
