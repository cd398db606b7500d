// Audio files: what is written can be read, and what cannot be written leaves nothing behind.
#include "sound/audio_file.h"

#include <ebur128.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <random>
#include <set>
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
std::string write_with(const std::filesystem::path& path, std::span<const float> samples,
                       const AudioSettings& settings) {
  Result<AudioFile> file = AudioFile::create(path, settings);
  if (!file) return to_string(file.diagnostics()[0]);
  if (const Result<Done> written = file->write(samples); !written) {
    return to_string(written.diagnostics()[0]);
  }
  const Result<Done> finished = file->finish();
  return finished ? "" : to_string(finished.diagnostics()[0]);
}

std::string write(const std::filesystem::path& path, std::span<const float> samples,
                  const std::string& title = "") {
  AudioSettings settings;
  settings.tags.title = title;
  return write_with(path, samples, settings);
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
    Result<AudioFile> file = AudioFile::create(folder.path() / "x.flac", {});
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
    std::optional<SampleDepth> depth = std::nullopt;
  };
  const std::vector<Row> rows = {
      {"x.aiff", kRate, "the ending names no audio format; use .wav, .flac, .ogg, .opus or .mp3"},
      {"x", kRate, "the ending names no audio format; use .wav, .flac, .ogg, .opus or .mp3"},
      {"x.opus", 44'100, "this format does not take 44100 frames a second; 48000 works everywhere"},
      {"x.wav", 0, "this format does not take 0 frames a second; 48000 works everywhere"},
      {"none/x.wav", kRate,
       "there is no folder '" + (folder.path() / "none").string() + "'; name a folder that exists"},
      {"folder.wav", kRate, "is a folder; name a file"},
      {"x.opus", kRate, "this format has no bit depth; name none, or write .wav or .flac",
       SampleDepth::k16},
      {"x.ogg", kRate, "this format has no bit depth; name none, or write .wav or .flac",
       SampleDepth::k24},
      {"x.mp3", kRate, "this format has no bit depth; name none, or write .wav or .flac",
       SampleDepth::kFloat},
      {"x.flac", kRate, "this format has no samples of 32f; 16 or 24 bits are possible",
       SampleDepth::kFloat},
  };
  std::filesystem::create_directory(folder.path() / "folder.wav");
  for (const auto& [name, rate, message, depth] : rows) {
    SCOPED_TRACE(name);
    const std::filesystem::path path = folder.path() / name;
    const Result<AudioFile> file = AudioFile::create(path, {.sample_rate = rate, .depth = depth});
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

// Silence, a tone and noise of one length: of a constant rate the size tells nothing else.
TEST(AudioFile, IsAsLargeWhateverSoundsInItAtAConstantRate) {
  const Folder folder;
  std::mt19937 random;
  std::vector<float> noise;
  for (int i = 0; i < 2 * 2 * kRate; ++i) {
    noise.push_back(static_cast<float>(static_cast<double>(random()) * 0x1p-32 - 0.5));
  }
  const std::vector<float> sounds[] = {std::vector<float>(noise.size()), tone(2.0, 0.5), noise};
  for (const bool constant : {true, false}) {
    std::set<std::uintmax_t> sizes;
    for (const std::vector<float>& sound : sounds) {
      AudioSettings settings;
      settings.constant_rate = constant;
      ASSERT_EQ(write_with(folder.path() / "x.mp3", sound, settings), "");
      sizes.insert(std::filesystem::file_size(folder.path() / "x.mp3"));
    }
    EXPECT_EQ(sizes.size(), constant ? 1u : 3u);
  }
  AudioSettings settings;
  settings.constant_rate = true;
  ASSERT_EQ(write_with(folder.path() / "x.mp3", tone(2.0, 0.5), settings), "");
  EXPECT_NEAR(peak_of(read_recording(folder.path() / "x.mp3")), 0.5, 0.005);
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
  Result<AudioFile> file = AudioFile::create(folder.path() / "x.wav", {});
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

TEST(AudioFile, TakesTheDepthsThatItsFormatHas) {
  const Folder folder;
  struct Row {
    const char* name;
    SampleDepth depth;
    double error;  // most that a sample changes: dither and rounding, rounding, nothing
    std::uint64_t bytes_a_second;
  };
  const std::vector<Row> rows = {{"x.wav", SampleDepth::k16, 1.5 / 32'768.0, 4 * kRate},
                                 {"x.wav", SampleDepth::k24, 1.5 / 8'388'608.0, 6 * kRate},
                                 {"x.wav", SampleDepth::kFloat, 0.0, 8 * kRate},
                                 {"x.flac", SampleDepth::k16, 1.5 / 32'768.0, 0},
                                 {"x.flac", SampleDepth::k24, 1.5 / 8'388'608.0, 0}};
  const std::vector<float> samples = tone(1.0, 0.7);
  for (const auto& [name, depth, error, bytes_a_second] : rows) {
    SCOPED_TRACE(name);
    SCOPED_TRACE(static_cast<int>(depth));
    const std::filesystem::path path = folder.path() / name;
    ASSERT_EQ(write_with(path, samples, {.depth = depth}), "");
    const Recording recording = read_recording(path);
    ASSERT_EQ(recording.left.size(), samples.size() / 2);
    for (std::size_t i = 0; i < recording.left.size(); ++i) {
      ASSERT_NEAR(recording.left[i], samples[2 * i], error);
      ASSERT_NEAR(recording.right[i], samples[2 * i + 1], error);
    }
    if (bytes_a_second == 0) continue;
    EXPECT_NEAR(static_cast<double>(std::filesystem::file_size(path)),
                static_cast<double>(bytes_a_second), 500.0);
  }
}

TEST(AudioFile, KeepsWhatIsSofterThanAStepOf16BitsByDither) {
  // A tone of a third of a step vanishes when it is rounded; under dither its mean over the periods
  // remains.
  const Folder folder;
  const std::vector<float> samples = tone(10.0, 0.3 / 32'768.0, 100.0);
  ASSERT_EQ(write_with(folder.path() / "x.wav", samples, {.depth = SampleDepth::k16}), "");
  const Recording recording = read_recording(folder.path() / "x.wav");
  double in_phase = 0.0;
  double power = 0.0;
  for (std::size_t i = 0; i < recording.left.size(); ++i) {
    const double reference =
        std::sin(2.0 * std::numbers::pi * 100.0 * static_cast<double>(i) / kRate);
    const double steps = double{recording.left[i]} * 32'768.0;
    in_phase += 2.0 * steps * reference;
    power += steps * steps;
  }
  const auto count = static_cast<double>(recording.left.size());
  EXPECT_NEAR(in_phase / count, 0.3, 0.01);
  // Source: Lipshitz, Wannamaker & Vanderkooy 1992 (from memory): the whole error of triangular
  // dither of two steps has a power of a quarter of a step squared.
  EXPECT_NEAR(power / count, 0.25 + 0.3 * 0.3 / 2.0, 0.01);
}

TEST(AudioFile, DithersTheSameWayEachTimeAndNotAtALouderDepth) {
  const Folder folder;
  const std::vector<float> samples = tone(0.5, 0.1);
  for (const SampleDepth depth : {SampleDepth::k16, SampleDepth::k24, SampleDepth::kFloat}) {
    SCOPED_TRACE(static_cast<int>(depth));
    ASSERT_EQ(write_with(folder.path() / "a.wav", samples, {.depth = depth}), "");
    ASSERT_EQ(write_with(folder.path() / "b.wav", samples, {.depth = depth}), "");
    EXPECT_EQ(folder.read("a.wav"), folder.read("b.wav"));
  }
  ASSERT_EQ(write_with(folder.path() / "x.wav", std::vector<float>(2'000), {}), "");
  EXPECT_EQ(peak_of(read_recording(folder.path() / "x.wav")), 0.0);
}

TEST(AudioFile, CarriesItsTagsInEveryFormat) {
  const Folder folder;
  AudioSettings settings;
  settings.tags = {"The title", "The album", "rendered by arsis"};
  for (const std::string_view ending : audio_endings()) {
    SCOPED_TRACE(ending);
    const std::filesystem::path path = folder.path() / ("x" + std::string(ending));
    ASSERT_EQ(write_with(path, tone(0.2, 0.5), settings), "");
    const Recording recording = read_recording(path);
    EXPECT_EQ(recording.title, "The title");
    EXPECT_EQ(recording.album, "The album");
    EXPECT_EQ(recording.comment, "rendered by arsis");
  }
}

TEST(AudioFile, TakesTheRatesOfItsFormat) {
  const Folder folder;
  for (const int rate : {22'050, 24'000, 32'000, 44'100, 48'000, 88'200, 96'000}) {
    for (const std::string_view ending : audio_endings()) {
      SCOPED_TRACE(ending);
      SCOPED_TRACE(rate);
      const std::filesystem::path path = folder.path() / ("x" + std::string(ending));
      const bool possible = check_audio(path, {.sample_rate = rate}).diagnostics().empty();
      // Source: RFC 6716 (Opus), ISO 11172-3 and 13818-3 (MP3).
      const bool expected = ending == ".opus"  ? rate == 24'000 || rate == 48'000
                            : ending == ".mp3" ? rate <= 48'000
                                               : true;
      EXPECT_EQ(possible, expected);
      if (!possible) continue;
      ASSERT_EQ(write_with(path, tone(0.1, 0.5), {.sample_rate = rate}), "");
      EXPECT_GT(read_recording(path).left.size(), 1'000u);
    }
  }
}

}  // namespace
}  // namespace arsis
