#include "smf/recording.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <string>
#include <vector>

#include "base/files.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

RecordedMessage message(double at, std::uint8_t status, std::uint8_t first, std::uint8_t second) {
  RecordedMessage made;
  made.at = {at};
  made.bytes = {status, first, second};
  made.size = 3;
  return made;
}

// Forty notes a tenth of a second apart, a pedal in between.
std::vector<RecordedMessage> playing() {
  std::vector<RecordedMessage> messages;
  for (int i = 0; i < 40; ++i) {
    const double at = 0.5 + 0.1 * i;
    const auto key = static_cast<std::uint8_t>(40 + i);
    messages.push_back(message(at, 0x90, key, static_cast<std::uint8_t>(50 + i)));
    if (i % 10 == 0) messages.push_back(message(at + 0.02, 0xB0, 64, 127));
    messages.push_back(message(at + 0.09, 0x80, key, 64));
  }
  return messages;
}

RecordingHead head() {
  RecordingHead head;
  head.title = "Lantern Song";
  head.date = "2026-11-29 16:50:12";
  head.microseconds_per_quarter = 689'655;  // 87 a minute
  return head;
}

struct Folder {
  std::filesystem::path path =
      std::filesystem::temp_directory_path() / ("arsis-recording-" + std::to_string(::getpid()));
  Folder() { std::filesystem::create_directories(path); }
  ~Folder() { std::filesystem::remove_all(path); }
};

void expect_played(const Score& score, std::size_t notes) {
  ASSERT_EQ(score.notes.size(), notes);
  for (std::size_t i = 0; i < notes; ++i) {
    EXPECT_EQ(score.notes[i].key, 40 + i);
    EXPECT_EQ(score.notes[i].velocity.value(), static_cast<int>(50 + i));
    // Within a tick, which is less than a ten-thousandth of a second.
    EXPECT_NEAR(score.tempo.seconds_at(score.notes[i].onset).value,
                0.5 + 0.1 * static_cast<double>(i), 1e-4);
  }
}

TEST(Recording, IsReadBackAsItWasPlayed) {
  const Result<Score> score = score_of(midi_of(head(), playing()), "take.mid", Origin::kPlayed);
  ASSERT_TRUE(score);
  EXPECT_TRUE(score.diagnostics().empty());
  expect_played(*score, 40);
  EXPECT_EQ(score->title, "Lantern Song");
  EXPECT_EQ(recorded_on(*score), "2026-11-29 16:50:12");
}

TEST(GrowingRecording, IsReadableWhereverItIsCutOff) {
  const Folder folder;
  const std::filesystem::path path = folder.path / "take.mid.part";
  const std::vector<RecordedMessage> messages = playing();
  std::vector<std::size_t> sizes;  // of the file after each message
  {
    Result<GrowingRecording> file = GrowingRecording::begin(path, head());
    ASSERT_TRUE(file);
    EXPECT_FALSE(GrowingRecording::begin(path, head()));  // what is there is not written over
    for (const RecordedMessage& each : messages) {
      ASSERT_TRUE(file->add({&each, 1}));
      sizes.push_back(std::filesystem::file_size(path));
    }
  }
  const Result<Bytes> bytes = read_file(path, 1 << 20);
  ASSERT_TRUE(bytes);
  std::size_t notes = 0;
  for (std::size_t i = 0; i < messages.size(); ++i) {
    if (messages[i].is_note_on()) ++notes;
    // Whole, and in the middle of the next message.
    for (const std::size_t more : {0u, 2u}) {
      const std::size_t size = std::min(sizes[i] + more, bytes->size());
      const Result<MidiFile> file = read_midi(std::span(*bytes).first(size), "take.mid.part");
      ASSERT_TRUE(file) << i;
      const Result<Score> score = score_of(*file, "take.mid.part", Origin::kPlayed);
      ASSERT_TRUE(score) << i;
      expect_played(*score, notes);
    }
  }
  EXPECT_EQ(notes, 40u);
  const Result<MidiFile> whole = read_midi(*bytes, "take.mid.part");
  ASSERT_TRUE(whole);
  ASSERT_EQ(whole.diagnostics().size(), 1u);  // of the end of the track alone
}

TEST(Recording, ComesThroughPausesAndTextsOfAnyLength) {
  RecordingHead odd = head();
  odd.title = std::string(5000, 'x') + "\xFF\x00";
  const std::vector<RecordedMessage> messages = {message(0.0, 0x90, 60, 1),
                                                 message(90'000.0, 0x80, 60, 0)};
  // A day in ten-thousandths: more ticks than the format can say between two events.
  const Result<Bytes> bytes = write_midi(midi_of(odd, messages), "take.mid");
  ASSERT_TRUE(bytes);
  EXPECT_TRUE(read_midi(*bytes, "take.mid"));
}

}  // namespace
}  // namespace arsis
