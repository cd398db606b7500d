// Audio files: what is written can be read, and what cannot be written leaves nothing behind.
#include "sound/audio_file.h"

#include <ebur128.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include "sound/full_disk.h"
#include "sound/recording.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;
using test::FullDisk;
using test::peak_of;
using test::read_recording;
using test::Recording;

constexpr int kRate = 48'000;

// Left and right in turn; the right is half as loud.
std::vector<float> tone(double seconds, double level, double hertz = 1000.0) {
  std::vector<float> samples;
  for (int i = 0; i < static_cast<int>(seconds * kRate); ++i) {
    const double value = level * std::sin(2.0 * std::numbers::pi * hertz * i / kRate);
    samples.insert(samples.end(), {static_cast<float>(value), static_cast<float>(value / 2.0)});
  }
  return samples;
}

// Nothing where all went well, else the message.
std::string write(const std::filesystem::path& path, std::span<const float> samples,
                  const std::string& title = "") {
  Result<AudioFile> file = AudioFile::create(path, kRate, title);
  if (!file) return to_string(file.diagnostics()[0]);
  if (const Result<Done> written = file->write(samples); !written) {
    return to_string(written.diagnostics()[0]);
  }
  const Result<Done> finished = file->finish();
  return finished ? "" : to_string(finished.diagnostics()[0]);
}

TEST(AudioFile, GoesByTheEnding) {
  struct Row {
    const char* name;
    std::optional<AudioFormat> format;
  };
  const std::vector<Row> rows = {
      {"a.wav", AudioFormat::kWav},   {"a.FLAC", AudioFormat::kFlac},
      {"a.b.ogg", AudioFormat::kOgg}, {"a.Opus", AudioFormat::kOpus},
      {"a.mp3", AudioFormat::kMp3},   {"a", std::nullopt},
      {"a.mid", std::nullopt},        {"wav", std::nullopt},
      {".wav", std::nullopt},         {"a.wave", std::nullopt},
      {"a.wav/b", std::nullopt},      {"", std::nullopt},
  };
  for (const auto& [name, format] : rows) EXPECT_EQ(audio_format_of(name), format) << name;
  EXPECT_EQ(audio_endings().size(), 5u);
}

TEST(AudioFile, KeepsEverySampleOfTheLosslessFormats) {
  const Folder folder;
  const std::vector<float> samples = tone(0.5, 0.9);
  for (const char* name : {"x.wav", "x.flac"}) {
    SCOPED_TRACE(name);
    ASSERT_EQ(write(folder.path() / name, samples), "");
    const Recording recording = read_recording(folder.path() / name);
    ASSERT_EQ(recording.left.size(), samples.size() / 2);
    for (std::size_t i = 0; i < recording.left.size(); ++i) {
      ASSERT_NEAR(recording.left[i], samples[2 * i], 1.5 / (1 << 23));
      ASSERT_NEAR(recording.right[i], samples[2 * i + 1], 1.5 / (1 << 23));
    }
  }
}

TEST(AudioFile, KeepsTheLengthInEveryFormat) {
  const Folder folder;
  for (const std::string_view ending : audio_endings()) {
    SCOPED_TRACE(ending);
    const std::filesystem::path path = folder.path() / ("x" + std::string(ending));
    for (const double seconds : {0.0, 0.001, 1.0}) {
      ASSERT_EQ(write(path, tone(seconds, 0.5)), "");
      const Recording recording = read_recording(path);
      // The lossy ones are padded to whole frames.
      const double length = static_cast<double>(recording.left.size()) / kRate;
      EXPECT_NEAR(length, seconds, 0.06);
    }
  }
}

TEST(AudioFile, ClipsWhatIsTooLoudAndSilencesWhatIsNoNumber) {
  const Folder folder;
  constexpr float kInfinity = std::numeric_limits<float>::infinity();
  constexpr float kNone = std::numeric_limits<float>::quiet_NaN();
  std::vector<float> samples;
  for (int i = 0; i < kRate / 4; ++i) {
    samples.insert(samples.end(), {3.0F, -1e30F, kInfinity, kNone});
  }
  for (const std::string_view ending : audio_endings()) {
    SCOPED_TRACE(ending);
    const std::string name = "x" + std::string(ending);
    ASSERT_EQ(write(folder.path() / name, samples), "");
    const Recording recording = read_recording(folder.path() / name);
    ASSERT_GT(recording.left.size(), 0u);
    EXPECT_LT(peak_of(recording), 2.0);  // the lossy ones overshoot such a signal
    if (ending != ".wav" && ending != ".flac") continue;
    EXPECT_NEAR(recording.left[0], 1.0F, 1e-6F);
    EXPECT_NEAR(recording.right[0], -1.0F, 1e-6F);
    EXPECT_EQ(recording.left[1], 0.0F);
    EXPECT_EQ(recording.right[1], 0.0F);
  }
}

TEST(AudioFile, SaysSoWhereTheDiskIsFullInEveryFormat) {
  const Folder folder;
  const std::vector<float> samples = tone(3.0, 0.5, 440.0);
  for (const std::string_view ending : audio_endings()) {
    SCOPED_TRACE(ending);
    const std::string name = "x" + std::string(ending);
    ASSERT_EQ(write(folder.path() / name, samples), "");
    const std::string whole = folder.read(name);
    // Full at the start, in the middle, and where only the close finds it.
    for (const std::size_t room : {std::size_t{100}, whole.size() / 2, whole.size() - 1}) {
      SCOPED_TRACE(room);
      std::string message;
      {
        const FullDisk full(room);
        message = write(folder.path() / name, samples);
      }
      EXPECT_EQ(message, (folder.path() / name).string() + ": cannot be written (File too large)");
      EXPECT_EQ(folder.read(name), whole);  // what was there before is there still
      EXPECT_EQ(folder.files(), std::vector<std::string>{name});
    }
    std::filesystem::remove(folder.path() / name);
  }
}

TEST(AudioFile, LeavesNothingWhereItIsNotFinished) {
  const Folder folder;
  {
    Result<AudioFile> file = AudioFile::create(folder.path() / "x.flac", kRate, "");
    ASSERT_TRUE(file);
    ASSERT_TRUE(file->write(tone(0.1, 0.5)));
  }
  EXPECT_TRUE(folder.files().empty());
}

TEST(AudioFile, SaysWhatItCannotMake) {
  const Folder folder;
  struct Row {
    std::string name;
    int rate;
    std::string message;
  };
  const std::vector<Row> rows = {
      {"x.aiff", kRate, "the ending names no audio format; use .wav, .flac, .ogg, .opus or .mp3"},
      {"x", kRate, "the ending names no audio format; use .wav, .flac, .ogg, .opus or .mp3"},
      {"x.opus", 44'100, "this format does not take 44100 frames a second; 48000 works everywhere"},
      {"x.wav", 0, "this format does not take 0 frames a second; 48000 works everywhere"},
      {"none/x.wav", kRate,
       "there is no folder '" + (folder.path() / "none").string() + "'; name a folder that exists"},
      {"folder.wav", kRate, "is a folder; name a file"},
  };
  std::filesystem::create_directory(folder.path() / "folder.wav");
  for (const auto& [name, rate, message] : rows) {
    SCOPED_TRACE(name);
    const std::filesystem::path path = folder.path() / name;
    const Result<AudioFile> file = AudioFile::create(path, rate, "");
    ASSERT_FALSE(file);
    EXPECT_EQ(to_string(file.diagnostics()[0]), path.string() + ": " + message);
  }
  EXPECT_EQ(folder.files(), std::vector<std::string>{"folder.wav"});
}

TEST(AudioFile, TakesAnyTitle) {
  const Folder folder;
  const std::string title("a\0b\nc\xFF", 6);
  for (const std::string_view ending : audio_endings()) {
    SCOPED_TRACE(ending);
    const std::filesystem::path path = folder.path() / ("x" + std::string(ending));
    ASSERT_EQ(write(path, tone(0.2, 0.5), title), "");
    EXPECT_EQ(read_recording(path).title, "a?b?c?");
    ASSERT_EQ(write(path, tone(0.2, 0.5), std::string(100'000, 'x')), "");
    EXPECT_GE(read_recording(path).title.size(), 100u);
  }
}

TEST(AudioFile, SpendsAsManyBitsAsItsHeaderSays) {
  // White noise is the most that an encoder can meet; it shows what its settings allow.
  const Folder folder;
  std::vector<float> samples;
  std::minstd_rand random(1);
  std::uniform_real_distribution<float> noise(-0.3F, 0.3F);
  for (int i = 0; i < 2 * 5 * kRate; ++i) samples.push_back(noise(random));
  struct Row {
    const char* name;
    double least;  // kb/s
    double most;
  };
  const std::vector<Row> rows = {{"x.wav", 2300.0, 2310.0},
                                 {"x.ogg", 180.0, 300.0},
                                 {"x.opus", 140.0, 190.0},
                                 {"x.mp3", 150.0, 250.0}};
  for (const auto& [name, least, most] : rows) {
    SCOPED_TRACE(name);
    ASSERT_EQ(write(folder.path() / name, samples), "");
    const auto bytes = static_cast<double>(std::filesystem::file_size(folder.path() / name));
    EXPECT_GE(bytes * 8.0 / 1000.0 / 5.0, least);
    EXPECT_LE(bytes * 8.0 / 1000.0 / 5.0, most);
  }
}

TEST(AudioFile, WritesTheSameBytesForTheSameSound) {
  const Folder folder;
  for (const char* ending : {".wav", ".flac", ".mp3"}) {
    ASSERT_EQ(write(folder.path() / (std::string("a") + ending), tone(1.0, 0.5), "Title"), "");
    ASSERT_EQ(write(folder.path() / (std::string("b") + ending), tone(1.0, 0.5), "Title"), "");
    EXPECT_EQ(folder.read(std::string("a") + ending), folder.read(std::string("b") + ending));
  }
}

TEST(AudioFile, AgreesWithTheFirstTestSignalOfTheLoudnessStandard) {
  // Source: EBU Tech 3341, case 1: 1 kHz, -23 dBFS in both channels, 20 s, reads -23.0 +- 0.1 LUFS.
  const Folder folder;
  Result<AudioFile> file = AudioFile::create(folder.path() / "x.wav", 48'000, "");
  ASSERT_TRUE(file);
  std::vector<float> samples;
  for (int i = 0; i < 20 * 48'000; ++i) {
    const double phase = 2.0 * std::numbers::pi * 1000.0 * i / 48'000.0;
    const auto sample = static_cast<float>(std::pow(10.0, -23.0 / 20.0) * std::sin(phase));
    samples.insert(samples.end(), {sample, sample});
  }
  ASSERT_TRUE(file->write(samples));
  ASSERT_TRUE(file->finish());
  const Recording recording = read_recording(folder.path() / "x.wav");
  std::vector<float> read;
  for (std::size_t i = 0; i < recording.left.size(); ++i) {
    read.insert(read.end(), {recording.left[i], recording.right[i]});
  }
  ebur128_state* meter = ebur128_init(2, 48'000, EBUR128_MODE_I);
  ebur128_add_frames_float(meter, read.data(), read.size() / 2);
  double loudness = 0.0;
  ebur128_loudness_global(meter, &loudness);
  ebur128_destroy(&meter);
  EXPECT_NEAR(loudness, -23.0, 0.1);
}

}  // namespace
}  // namespace arsis
