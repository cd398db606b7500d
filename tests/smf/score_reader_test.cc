// A score from a MIDI file: notes, parts, bars, and what had to be mended.
#include "smf/score_reader.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "smf/hex.h"

namespace arsis {
namespace {

using test::hex;
using test::one_track;

std::string messages_of(const Diagnostics& diagnostics) {
  std::string text;
  for (const Diagnostic& diagnostic : diagnostics) text += to_string(diagnostic) + "\n";
  return text;
}

Result<Score> read_score(const Bytes& bytes) {
  const Result<MidiFile> file = read_midi(bytes, "f.mid");
  if (!file) return file.diagnostics();
  return score_of(*file, "f.mid");
}

// "onset-end key velocity" in ticks of 96.
std::string notes_of(const Score& score) {
  std::string text;
  for (const Note& note : score.notes) {
    text += std::to_string(std::lround(note.onset.value * 96)) + "-" +
            std::to_string(std::lround(note.end.value * 96)) + " " + std::to_string(note.key) +
            " " + std::to_string(note.velocity.value()) + "\n";
  }
  return text;
}

TEST(ScoreReader, ReadsTheStandardsExamples) {
  // Both hold four notes in 384 pulses, which last 2 seconds at 120 quarter notes a minute.
  const std::string expected = "0-384 48 96\n0-384 60 96\n96-384 67 64\n192-384 76 32\n";
  for (const std::string_view example : {test::kExampleFormat0, test::kExampleFormat1}) {
    const Result<Score> score = read_score(hex(example));
    ASSERT_TRUE(score);
    EXPECT_TRUE(score.diagnostics().empty()) << messages_of(score.diagnostics());
    EXPECT_EQ(notes_of(*score), expected);
    EXPECT_DOUBLE_EQ(score->tempo.seconds_at(score->end()).value, 2.0);
    EXPECT_EQ(score->parts.size(), 3u);
    EXPECT_EQ(score->bars.all().size(), 1u);
  }
}

TEST(ScoreReader, CountsPartsByTracksWithNotes) {
  const Result<Score> score = read_score(hex(test::kExampleFormat1));
  ASSERT_TRUE(score);
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(score->parts[i].number, static_cast<int>(i) + 1);
    EXPECT_EQ(score->parts[i].track, i + 1);
    EXPECT_EQ(score->parts[i].channel, i);
  }
}

struct Mended {
  const char* what;
  const char* events;
  const char* notes;
  const char* message;
};

TEST(ScoreReader, MendsNotesAndSaysWhere) {
  const std::vector<Mended> rows = {
      {"a velocity of 0 ends a note", "00903C40 60903C00 00FF2F00", "0-96 60 64\n", ""},
      {"nothing ends the note", "00903C40 8100FF2F00", "0-128 60 64\n",
       "f.mid: track 1, byte 22: warning: a note that nothing ends; it ends with its track\n"},
      {"an end without a note", "00803C40 00903C40 60803C40 00FF2F00", "0-96 60 64\n",
       "f.mid: track 1, byte 22: warning: a note end without a note; it is left out\n"},
      {"no length", "00903C40 00803C40 00FF2F00", "0-1 60 64\n",
       "f.mid: track 1, byte 22: warning: a note without length; it lasts one tick\n"},
      {"struck again, both released: in order", "00903C40 30903C50 30803C00 30803C00 00FF2F00",
       "0-48 60 64\n48-144 60 80\n",
       "f.mid: track 1, byte 26: warning: a key struck again before it is released; the note "
       "before "
       "ends there\n"},
      {"struck again, one release missing", "00903C40 30903C50 30803C00 00FF2F00",
       "0-48 60 64\n48-96 60 80\n",
       "f.mid: track 1, byte 26: warning: a key struck again before it is released; the note "
       "before "
       "ends there\n"},
      {"struck again, an end without a note before", "00803C00 00903C40 30903C50 30803C00 00FF2F00",
       "0-48 60 64\n48-96 60 80\n",
       "f.mid: track 1, byte 22: warning: a note end without a note; it is left out\n"
       "f.mid: track 1, byte 30: warning: a key struck again before it is released; the note "
       "before ends there\n"},
      {"struck three times, all released: in order",
       "00903C40 30903C50 30903C60 30803C00 30803C00 30803C00 00FF2F00",
       "0-48 60 64\n48-96 60 80\n96-240 60 96\n",
       "f.mid: track 1, byte 26: warning: a key struck again before it is released; the note "
       "before ends there\n"
       "f.mid: track 1, byte 30: warning: a key struck again before it is released; the note "
       "before ends there\n"},
      {"nothing ends the note at the end of its track", "60903C40 00FF2F00", "96-97 60 64\n",
       "f.mid: track 1, byte 22: warning: a note that nothing ends; it ends with its track\n"},
      {"an impossible beat", "00FF580404071808 00903C40 60803C40 00FF2F00", "0-96 60 64\n",
       "f.mid: track 1, byte 22: warning: an impossible time signature; the one before it goes "
       "on\n"},
      {"struck twice at once", "00903C40 00903C50 30803C00 30803C00 00FF2F00", "0-96 60 80\n",
       "f.mid: track 1, byte 26: warning: a key struck twice at once; it is taken for one note\n"},
      {"no length, then struck again at once", "00903C40 00803C00 00903C50 30803C00 00FF2F00",
       "0-48 60 80\n",
       "f.mid: track 1, byte 22: warning: a note without length; it lasts one tick\n"},
      {"an impossible tempo", "00FF5103000000 00903C40 60803C40 00FF2F00", "0-96 60 64\n",
       "f.mid: track 1, byte 22: warning: an impossible tempo; it is left out\n"},
      {"an impossible time signature", "00FF580400021808 00903C40 60803C40 00FF2F00",
       "0-96 60 64\n",
       "f.mid: track 1, byte 22: warning: an impossible time signature; the one before it goes "
       "on\n"},
  };
  for (const Mended& row : rows) {
    SCOPED_TRACE(row.what);
    const Result<Score> score = read_score(one_track(row.events));
    ASSERT_TRUE(score) << messages_of(score.diagnostics());
    EXPECT_EQ(notes_of(*score), row.notes);
    EXPECT_EQ(messages_of(score.diagnostics()), row.message);
  }
}

TEST(ScoreReader, RefusesAFileWithoutNotes) {
  const Result<Score> score = read_score(one_track("00FF2F00"));
  EXPECT_FALSE(score);
  EXPECT_EQ(messages_of(score.diagnostics()),
            "f.mid: holds no notes; a score with notes is needed\n");
}

TEST(ScoreReader, RefusesWhatIsLongerThanAnyMusic) {
  // Two deltas of 0x0FFFFFFF ticks at 96 a quarter note: over five million quarter notes.
  const Result<Score> score = read_score(one_track("FFFFFF7F 903C40 FFFFFF7F 803C40 00FF2F00"));
  EXPECT_FALSE(score);
  EXPECT_EQ(messages_of(score.diagnostics()),
            "f.mid: is longer than any music; at most 1000000 quarter notes are read\n");
}

TEST(ScoreReader, RefusesEventsBeyondAnyMusic) {
  // A tempo, and an end of track, four million quarter notes after a short note.
  for (const char* events :
       {"00903C40 60803C40 FFFFFF7F FF510307A120 00FF2F00", "00903C40 60803C40 FFFFFF7F FF2F00"}) {
    EXPECT_EQ(messages_of(read_score(one_track(events)).diagnostics()),
              "f.mid: is longer than any music; at most 1000000 quarter notes are read\n");
  }
}

TEST(ScoreReader, RefusesTooManyBars) {
  // Bars of one sixty-fourth note: 1,600,000 of them in 100,000 quarter notes.
  EXPECT_EQ(messages_of(read_score(one_track("00FF580401061808 84CAF800 903C40 60803C40 00FF2F00"))
                            .diagnostics()),
            "f.mid: has too many bars; at most 100000 bars are read\n");
}

TEST(ScoreReader, ReadsTempoAndKeysOfEveryTrack) {
  const Result<Score> score =
      read_score(hex("4D546864 00000006 0001 0002 0060"
                     "4D54726B 00000018 00FF51030F4240 00FF5902FD00 60FF51030927C0 60FF2F00"
                     "4D54726B 00000014 00903C40 8140803C40 00FF510307A120 00FF2F00"));
  ASSERT_TRUE(score);
  EXPECT_TRUE(score.diagnostics().empty()) << messages_of(score.diagnostics());
  // Source of the values: FF 51 03 is microseconds a quarter note, FF 59 02 sharps and mode
  // (Standard MIDI Files 1.0); FD is three flats.
  ASSERT_EQ(score->tempo.changes().size(), 3u);
  EXPECT_EQ(score->tempo.changes()[0].microseconds_per_quarter, 1'000'000);
  EXPECT_EQ(score->tempo.changes()[1].microseconds_per_quarter, 600'000);
  EXPECT_EQ(score->tempo.changes()[2].microseconds_per_quarter, 500'000);
  EXPECT_EQ(score->tempo.changes()[2].at.value, 2.0);
  ASSERT_EQ(score->keys.size(), 1u);
  EXPECT_EQ(score->keys[0].sharps, -3);
  EXPECT_FALSE(score->keys[0].minor);
}

TEST(ScoreReader, CutsALongNameBetweenTwoLetters) {
  // 199 letters of one byte, then one of two: the cut at 200 bytes would halve it.
  std::string name = "8149";  // 201 bytes
  for (int i = 0; i < 199; ++i) name += "41";
  const Result<Score> score =
      read_score(one_track("00FF03" + name + "C3A9 00903C40 60803C40 00FF2F00"));
  ASSERT_TRUE(score);
  EXPECT_EQ(score->title, std::string(199, 'A'));
}

TEST(ScoreReader, WarnsOfWhatLooksPlayed) {
  // At 960 ticks a quarter note: onsets 7 ticks off the beat, and off each other.
  std::string events;
  for (int i = 0; i < 20; ++i) events += i % 2 == 0 ? "67903C40 60803C40" : "53904040 60804040";
  Bytes file = one_track(events + "00FF2F00");
  file[12] = 0x03;
  file[13] = 0xC0;
  const Result<Score> score = read_score(file);
  ASSERT_TRUE(score);
  ASSERT_EQ(score.diagnostics().size(), 1u);
  EXPECT_NE(to_string(score.diagnostics()[0]).find("this looks played, not quantized"),
            std::string::npos);
}

TEST(ScoreReader, TakesNamesInUtf8AndInLatin1) {
  const Result<Score> score =
      read_score(hex("4D546864 00000006 0001 0003 0060"
                     "4D54726B 0000000B 00FF0303 41C3A9 00FF2F00"
                     "4D54726B 00000011 00FF0302 41E9 00903C40 60803C40 00FF2F00"
                     "4D54726B 0000000C 00904040 60804040 00FF2F00"));
  ASSERT_TRUE(score) << messages_of(score.diagnostics());
  EXPECT_EQ(score->title, "A\xC3\xA9");
  EXPECT_EQ(score->parts[0].name, "A\xC3\xA9");
  EXPECT_EQ(score->parts[1].name, "");
}

TEST(ScoreReader, KeepsAllOtherMessagesWithTheirTicks) {
  const Result<Score> score =
      read_score(one_track("00C005 00FF0103414243 00903C40 30B0407F 30803C40 00F00241F7 00FF2F00"));
  ASSERT_TRUE(score);
  ASSERT_EQ(score->messages.size(), 4u);
  EXPECT_EQ(score->messages[0].at.value, 0.0);
  EXPECT_EQ(score->messages[2].at.value, 0.5);
  EXPECT_EQ(score->messages[3].at.value, 1.0);
  const auto bytes = score->bytes_of(score->messages[3]);
  EXPECT_EQ(Bytes(bytes.begin(), bytes.end()), hex("F041F7"));
}

}  // namespace
}  // namespace arsis
