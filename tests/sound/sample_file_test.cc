// Sample files read, and what is said of those that cannot be.
#include "sound/sample_file.h"

#include <gtest/gtest.h>
#include <sndfile.h>

#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;

void write_sound(const std::filesystem::path& path, int format, int channels, int rate,
                 const std::vector<float>& interleaved) {
  SF_INFO info{};
  info.samplerate = rate;
  info.channels = channels;
  info.format = format;
  SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
  ASSERT_NE(file, nullptr);
  sf_writef_float(file, interleaved.data(), static_cast<sf_count_t>(interleaved.size()) / channels);
  sf_close(file);
}

constexpr int kFloatWav = SF_FORMAT_WAV | SF_FORMAT_FLOAT;

TEST(SampleFile, IsReadWithBothItsChannels) {
  const Folder folder;
  write_sound(folder.path() / "two.wav", kFloatWav, 2, 44'100, {0.25F, -0.5F, 1.0F, 0.0F});
  const Result<RecordedSample> two = read_sample(folder.path() / "two.wav");
  ASSERT_TRUE(two);
  EXPECT_EQ(two->sample_rate, 44'100);
  EXPECT_EQ(two->left, (std::vector<float>{0.25F, 1.0F}));
  EXPECT_EQ(two->right, (std::vector<float>{-0.5F, 0.0F}));
  write_sound(folder.path() / "one.wav", kFloatWav, 1, 48'000, {0.25F, -0.5F});
  const Result<RecordedSample> one = read_sample(folder.path() / "one.wav");
  ASSERT_TRUE(one);
  EXPECT_EQ(one->left, (std::vector<float>{0.25F, -0.5F}));
  EXPECT_EQ(one->right, one->left);
}

TEST(SampleFile, IsReadFromVorbis) {
  const Folder folder;
  std::vector<float> tone;
  for (int i = 0; i < 9'600; ++i) tone.push_back(0.5F * std::sin(0.05F * static_cast<float>(i)));
  write_sound(folder.path() / "a.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS, 1, 48'000, tone);
  const Result<RecordedSample> read = read_sample(folder.path() / "a.ogg");
  ASSERT_TRUE(read);
  ASSERT_EQ(read->left.size(), tone.size());
  for (std::size_t i = 500; i < 9'000; ++i) ASSERT_NEAR(read->left[i], tone[i], 0.05) << i;
}

TEST(SampleFile, IsRefusedByName) {
  const Folder folder;
  folder.write("text.wav", "no sound at all, only some words");
  folder.write("empty.wav", "");
  write_sound(folder.path() / "three.wav", kFloatWav, 3, 48'000, {0.0F, 0.0F, 0.0F});
  write_sound(folder.path() / "slow.wav", kFloatWav, 1, 4'000, {0.0F});
  write_sound(folder.path() / "none.wav", kFloatWav, 1, 48'000, {});
  write_sound(folder.path() / "long.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_U8, 1, 8'000,
              std::vector<float>(60 * 8'000 + 1, 0.0F));
  write_sound(folder.path() / "nan.wav", kFloatWav, 1, 48'000,
              {0.0F, std::numeric_limits<float>::quiet_NaN()});
  folder.write("huge.wav", "RIFF");
  std::filesystem::resize_file(folder.path() / "huge.wav", 64'000'001);
  std::filesystem::create_directory(folder.path() / "folder.wav");
  const std::string kTaken =
      "; one or two channels, 8000 to 192000 frames a second, at most 60 s are taken";
  struct Row {
    const char* name;
    std::string message;  // its beginning
  };
  const std::vector<Row> rows = {
      {"missing.wav", "no such file; name a sound file"},
      {"folder.wav", "no such file; name a sound file"},
      {"text.wav", "is no sound file ("},
      {"empty.wav", "is no sound file ("},
      {"three.wav", "has 3 channels" + kTaken},
      {"slow.wav", "has 4000 frames a second" + kTaken},
      {"none.wav", "holds no sound" + kTaken},
      {"long.wav", "is longer than 60 s" + kTaken},
      {"nan.wav", "holds samples that are no numbers; fetch it anew"},
      {"huge.wav", "too large (64000001 bytes); at most 64000000 bytes are read"},
  };
  for (const auto& [name, message] : rows) {
    const Result<RecordedSample> read = read_sample(folder.path() / name);
    ASSERT_FALSE(read) << name;
    EXPECT_TRUE(to_string(read.diagnostics()[0])
                    .starts_with((folder.path() / name).string() + ": " + message))
        << to_string(read.diagnostics()[0]);
  }
}

TEST(SampleFile, IsNotTakenForWholeWhereItIsCut) {
  const Folder folder;
  std::vector<float> noise;
  unsigned state = 1;
  for (int i = 0; i < 48'000; ++i) {
    state = state * 1'664'525u + 1'013'904'223u;
    noise.push_back(static_cast<float>(state >> 8) / 16'777'216.0F - 0.5F);
  }
  for (const auto& [name, format] : {std::pair("a.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS),
                                     std::pair("a.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16)}) {
    SCOPED_TRACE(name);
    write_sound(folder.path() / name, format, 1, 48'000, noise);
    const std::string whole = folder.read(name);
    ASSERT_TRUE(read_sample(folder.path() / name));
    // Not within the first headers: libsndfile 1.2.0 leaks 6 kB where it refuses such a Vorbis
    // file.
    for (const double share : {0.5, 0.7, 0.9}) {
      folder.write(
          name,
          whole.substr(0, static_cast<std::size_t>(share * static_cast<double>(whole.size()))));
      const Result<RecordedSample> read = read_sample(folder.path() / name);
      // What Vorbis has lost of its end cannot be seen: then there are fewer frames.
      EXPECT_TRUE(!read || read->left.size() < noise.size());
    }
  }
}

}  // namespace
}  // namespace arsis
