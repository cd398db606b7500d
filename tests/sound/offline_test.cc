// What a performance sounds like: measured in the rendered file.
#include "sound/offline.h"

#include <ebur128.h>
#include <gtest/gtest.h>
#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "sound/audio_file.h"
#include "sound/sine_soundfont.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;
using test::Wave;

struct Recording {
  int rate = 0;
  int channels = 0;
  std::string title;
  std::vector<float> left;
  std::vector<float> right;
};

Recording read_recording(const std::filesystem::path& path) {
  SF_INFO info{};
  SNDFILE* file = sf_open(path.string().c_str(), SFM_READ, &info);
  Recording recording;
  if (file == nullptr) return recording;
  std::vector<float> samples(static_cast<std::size_t>(info.frames) * 2);
  const sf_count_t frames = sf_readf_float(file, samples.data(), info.frames);
  const char* title = sf_get_string(file, SF_STR_TITLE);
  recording.title = title == nullptr ? "" : title;
  recording.rate = info.samplerate;
  recording.channels = info.channels;
  for (sf_count_t i = 0; i < frames; ++i) {
    recording.left.push_back(samples[static_cast<std::size_t>(2 * i)]);
    recording.right.push_back(samples[static_cast<std::size_t>(2 * i + 1)]);
  }
  sf_close(file);
  return recording;
}

// RMS level in dB over [from, to) seconds of the left channel.
double level_db(const Recording& recording, double from, double to) {
  const auto first = static_cast<std::size_t>(from * recording.rate);
  const auto last = static_cast<std::size_t>(to * recording.rate);
  double sum = 0.0;
  for (std::size_t i = first; i < last; ++i) sum += recording.left[i] * recording.left[i];
  return 10.0 * std::log10(sum / static_cast<double>(last - first));
}

// A score of one part and the performance that plays the given notes.
struct Played {
  Score score;
  Performance performance;
};

Played played() {
  Played one;
  one.score.tracks = {{"", {0.0}}};
  one.score.parts = {{"", 0, 1, 0}};
  return one;
}

void add_note(Played& one, double onset, double end, int velocity, int key = 69) {
  Note note;
  note.onset = {onset * 2.0};  // 120 quarter notes a minute
  note.end = {end * 2.0};
  note.key = static_cast<std::uint8_t>(key);
  note.sequence = static_cast<std::uint32_t>(one.score.notes.size());
  one.score.notes.push_back(note);
  one.performance.notes.push_back({{onset}, {end}, Velocity::clamped(velocity)});
}

class Offline : public ::testing::Test {
 protected:
  // Renders dry through a SoundFont for measuring.
  Result<OfflineReport> render(const Played& one, Wave wave, const std::string& name) {
    request_.soundfont = folder_.path() / "test.sf2";
    test::write_soundfont(request_.soundfont, wave);
    request_.target = folder_.path() / name;
    request_.synthesizer.reverb = false;
    return render_offline(one.score, one.performance, request_, soundfont_failed_);
  }
  std::filesystem::path file(const std::string& name) const { return folder_.path() / name; }

  Folder folder_;
  OfflineRequest request_;
  bool soundfont_failed_ = false;
};

TEST_F(Offline, SoundsVelocitiesAtTheirLevels) {
  // Source: 40 log10(v / 127) dB, General MIDI 2 and SoundFont 2.04 section 8.4.1 (default
  // modulator velocity -> initialAttenuation).
  const std::vector<int> velocities = {127, 112, 96, 90, 80, 64, 49, 40, 32, 24, 20, 16};
  Played one = played();
  for (std::size_t i = 0; i < velocities.size(); ++i) {
    add_note(one, static_cast<double>(i), static_cast<double>(i) + 0.9, velocities[i]);
  }
  ASSERT_TRUE(render(one, Wave::kSine, "x.wav"));
  const Recording recording = read_recording(file("x.wav"));
  const double loudest = level_db(recording, 0.2, 0.8);
  for (std::size_t i = 0; i < velocities.size(); ++i) {
    SCOPED_TRACE(velocities[i]);
    const double from = static_cast<double>(i) + 0.2;
    EXPECT_NEAR(level_db(recording, from, from + 0.6) - loudest,
                level_of(Velocity::clamped(velocities[i])).value, 0.15);
  }
}

TEST_F(Offline, StrikesEveryNoteWithinAMillisecondOfItsTime) {
  Played one = played();
  double at = 0.05;
  std::vector<double> onsets;
  for (int i = 0; i < 400; ++i) {
    onsets.push_back(at);
    add_note(one, at, at + 0.04, 127);
    at += 0.05 + 0.00037 * (i % 41);
  }
  ASSERT_TRUE(render(one, Wave::kClick, "x.wav"));
  const Recording recording = read_recording(file("x.wav"));
  std::vector<double> heard;
  for (std::size_t i = 0; i < recording.left.size(); ++i) {
    const double time = static_cast<double>(i) / recording.rate;
    const bool far = heard.empty() || time - heard.back() > 0.02;
    if (std::abs(recording.left[i]) > 1e-4F && far) heard.push_back(time);
  }
  ASSERT_EQ(heard.size(), onsets.size());
  double worst = 0.0;
  for (std::size_t i = 0; i < heard.size(); ++i) {
    worst = std::max(worst, std::abs(heard[i] - onsets[i]));
  }
  EXPECT_LT(worst, 0.001);
}

TEST_F(Offline, WritesTheSameFileForTheSamePerformance) {
  Played one = played();
  for (int i = 0; i < 8; ++i) add_note(one, i * 0.25, i * 0.25 + 0.2, 60 + i * 5, 60 + i);
  ASSERT_TRUE(render(one, Wave::kSine, "a.wav"));
  ASSERT_TRUE(render(one, Wave::kSine, "b.wav"));
  EXPECT_EQ(folder_.read("a.wav"), folder_.read("b.wav"));
}

TEST_F(Offline, TurnsDownWhatWouldClipAndNothingElse) {
  Played soft = played();
  add_note(soft, 0.0, 1.0, 64);
  const Result<OfflineReport> plain = render(soft, Wave::kSine, "soft.wav");
  ASSERT_TRUE(plain);
  EXPECT_EQ(plain->scaled_by, 1.0);
  Played loud = played();
  for (int i = 0; i < 60; ++i) add_note(loud, 0.0, 1.0, 127, 36 + i);
  const Result<OfflineReport> scaled = render(loud, Wave::kSine, "loud.wav");
  ASSERT_TRUE(scaled);
  EXPECT_LT(scaled->scaled_by, 1.0);
  EXPECT_NEAR(scaled->scaled_by * scaled->peak, std::pow(10.0, -1.0 / 20.0), 1e-6);
  const Recording recording = read_recording(file("loud.wav"));
  float peak = 0.0F;
  for (const float sample : recording.left) peak = std::max(peak, std::abs(sample));
  EXPECT_LE(peak, 0.8913F);
  EXPECT_GT(peak, 0.5F);
}

TEST_F(Offline, RingsOutUntilItIsSilentAndNoLonger) {
  Played one = played();
  add_note(one, 0.0, 1.0, 100);
  const Result<OfflineReport> report = render(one, Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  EXPECT_GT(report->length.value, 1.2);
  EXPECT_LT(report->length.value, 1.6);
  const Recording recording = read_recording(file("x.wav"));
  EXPECT_LT(std::abs(recording.left.back()), 1e-4F);
}

TEST_F(Offline, ReleasesAPedalThatIsStillDownAtTheEnd) {
  Played one = played();
  add_note(one, 0.0, 0.5, 100);
  one.score.message_bytes = {0xB0, 64, 127};
  one.score.messages = {{{0.1}, 0, 0, 3, 0}};
  const Result<OfflineReport> report = render(one, Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  EXPECT_LT(report->length.value, 2.0);
}

TEST_F(Offline, WritesEveryFormat) {
  Played one = played();
  add_note(one, 0.0, 2.0, 100);
  request_.title = "A \"title\" & more";
  ASSERT_TRUE(render(one, Wave::kSine, "reference.wav"));
  const double expected = level_db(read_recording(file("reference.wav")), 0.5, 1.5);
  for (const std::string_view ending : audio_endings()) {
    SCOPED_TRACE(ending);
    const std::string name = "x" + std::string(ending);
    const Result<OfflineReport> report = render(one, Wave::kSine, name);
    ASSERT_TRUE(report) << to_string(report.diagnostics()[0]);
    const Recording recording = read_recording(file(name));
    EXPECT_EQ(recording.rate, 48'000);
    EXPECT_EQ(recording.channels, 2);
    EXPECT_EQ(recording.title, request_.title);
    EXPECT_NEAR(static_cast<double>(recording.left.size()) / 48'000.0, report->length.value, 0.1);
    EXPECT_NEAR(level_db(recording, 0.5, 1.5), expected, 0.2);
  }
}

TEST_F(Offline, LeavesNoFileWhereItFails) {
  Played one = played();
  add_note(one, 0.0, 1.0, 100);
  request_.target = file("x.wav");
  request_.soundfont = file("none.sf2");
  EXPECT_FALSE(render_offline(one.score, one.performance, request_, soundfont_failed_));
  EXPECT_TRUE(soundfont_failed_);
  one.performance.notes[0].end = {1e6};
  const Result<OfflineReport> report = render(one, Wave::kSine, "x.wav");
  ASSERT_FALSE(report);
  EXPECT_FALSE(soundfont_failed_);
  EXPECT_NE(to_string(report.diagnostics()[0]).find("is longer than six hours"), std::string::npos);
  EXPECT_EQ(folder_.files(), (std::vector<std::string>{"test.sf2"}));
}

TEST_F(Offline, RefusesDamagedSoundFonts) {
  Played one = played();
  add_note(one, 0.0, 1.0, 100);
  test::write_soundfont(file("whole.sf2"), Wave::kSine);
  const std::string whole = folder_.read("whole.sf2");
  const std::vector<std::pair<const char*, std::string>> rows = {
      {"empty", ""},
      {"text", "no SoundFont at all"},
      {"another RIFF form", "RIFF\x10" + std::string(3, '\0') + "WAVEfmt 12345678"},
      {"cut off after the head", whole.substr(0, 12)},
      {"cut off in the samples", whole.substr(0, 4000)},
      {"cut off in the presets", whole.substr(0, whole.size() - 60)},
      {"noise after the head", whole.substr(0, 12) + std::string(2000, '\x7F')},
  };
  for (const auto& [what, bytes] : rows) {
    SCOPED_TRACE(what);
    folder_.write("bad.sf2", bytes);
    request_.soundfont = file("bad.sf2");
    request_.target = file("x.wav");
    ::testing::internal::CaptureStderr();
    const Result<OfflineReport> report =
        render_offline(one.score, one.performance, request_, soundfont_failed_);
    EXPECT_EQ(::testing::internal::GetCapturedStderr(), "");
    EXPECT_FALSE(report);
    EXPECT_TRUE(soundfont_failed_);
    EXPECT_FALSE(folder_.has("x.wav"));
  }
}

TEST(AudioFileLoudness, AgreesWithTheStandardsFirstTestSignal) {
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
