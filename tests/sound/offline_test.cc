// What a performance sounds like: measured in the rendered file.
#include "sound/offline.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "sound/audio_file.h"
#include "sound/full_disk.h"
#include "sound/recording.h"
#include "sound/sine_soundfont.h"
#include "sound/soundfont.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;
using test::level_db;
using test::peak_of;
using test::read_recording;
using test::Recording;
using test::Wave;

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

TEST_F(Offline, StrikesNotesWithinAFifthOfAMillisecondOfTheirTime) {
  Played one = played();
  std::mt19937 random(3);
  double at = 0.05;
  std::vector<double> onsets;
  for (int i = 0; i < 400; ++i) {
    onsets.push_back(at);
    add_note(one, at, at + 0.04, 127, 40 + i % 40);
    at += 0.05 + 0.02 * static_cast<double>(random()) / 4294967296.0;
  }
  for (const int rate : {44'100, 48'000}) {
    SCOPED_TRACE(rate);
    request_.synthesizer.sample_rate = rate;
    ASSERT_TRUE(render(one, Wave::kClick, "x.wav"));
    const std::vector<double> heard = test::onsets_in(read_recording(file("x.wav")));
    ASSERT_EQ(heard.size(), onsets.size());
    const double error = test::error_of_99_in_100(heard, onsets);
    RecordProperty("p99_microseconds_" + std::to_string(rate), static_cast<int>(error * 1e6));
    EXPECT_LT(error, 0.0002);
  }
}

TEST_F(Offline, WritesTheSameFileForTheSamePerformanceWithAnyNumberOfThreads) {
  Played one = played();
  for (int i = 0; i < 40; ++i) add_note(one, i * 0.13, i * 0.13 + 0.2, 60 + i, 60 + i % 20);
  for (const char* ending : {".wav", ".flac"}) {
    SCOPED_TRACE(ending);
    for (const SampleDepth depth : {SampleDepth::k16, SampleDepth::k24}) {
      request_.depth = depth;
      request_.threads = 1;
      ASSERT_TRUE(render(one, Wave::kSine, std::string("a") + ending));
      ASSERT_TRUE(render(one, Wave::kSine, std::string("b") + ending));
      EXPECT_EQ(folder_.read(std::string("a") + ending), folder_.read(std::string("b") + ending));
      request_.threads = 2;
      ASSERT_TRUE(render(one, Wave::kSine, std::string("b") + ending));
      EXPECT_EQ(folder_.read(std::string("a") + ending), folder_.read(std::string("b") + ending));
    }
  }
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
  // In 24 bits.
  EXPECT_NEAR(peak_of(recording), std::pow(10.0, -1.0 / 20.0), 1e-6);
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
  EXPECT_NE(to_string(report.diagnostics()[0]).find("is longer than four hours"),
            std::string::npos);
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

TEST_F(Offline, ReleasesASostenutoThatIsStillDownAtTheEnd) {
  Played one = played();
  add_note(one, 0.0, 0.5, 100);
  one.score.message_bytes = {0xB0, 66, 127};
  one.score.messages = {{{0.1}, 1, 0, 3, 0}};
  const Result<OfflineReport> report = render(one, Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  EXPECT_LT(report->length.value, 2.0);
}

TEST_F(Offline, HoldsUnderThePedalUntilItIsReleased) {
  Played one = played();
  add_note(one, 0.0, 0.5, 100);
  add_note(one, 2.0, 2.5, 100);  // so that the release is not the piece's end
  one.score.message_bytes = {0xB0, 64, 127, 0xB0, 64, 0};
  one.score.messages = {{{0.2}, 9, 0, 3, 0}, {{2.0}, 10, 3, 3, 0}};  // at 0.1 s and 1 s
  one.performance.time = TimeMap({{{0.0}, {0.0}}, {{2.0}, {1.0}}});
  ASSERT_TRUE(render(one, Wave::kSine, "x.wav"));
  const Recording recording = read_recording(file("x.wav"));
  EXPECT_GT(level_db(recording, 0.7, 0.9), -30.0);
  EXPECT_LT(level_db(recording, 1.2, 1.8), -80.0);
}

TEST_F(Offline, PassesSystemExclusivesOn) {
  // The system reset of General MIDI ends all notes.
  Played one = played();
  add_note(one, 0.0, 2.0, 100);
  one.score.message_bytes = {0xF0, 0x7E, 0x7F, 0x09, 0x01, 0xF7};
  one.score.messages = {{{2.0}, 1, 0, 6, 0}};  // at 1 s
  ASSERT_TRUE(render(one, Wave::kSine, "x.wav"));
  const Recording recording = read_recording(file("x.wav"));
  EXPECT_GT(level_db(recording, 0.5, 0.9), -30.0);
  EXPECT_LT(level_db(recording, 1.2, 1.8), -80.0);
}

TEST_F(Offline, LeavesOutNotesThatDoNotSound) {
  Played one = played();
  add_note(one, 0.0, 0.5, 100);
  add_note(one, 1.0, 1.5, 100);
  one.performance.notes[1].sounds = false;
  const Result<OfflineReport> report = render(one, Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  EXPECT_LT(report->length.value, 1.0);
}

TEST_F(Offline, DoesNotRunOnForMessagesLongAfterTheLastNote) {
  Played one = played();
  add_note(one, 0.0, 0.5, 100);
  one.score.message_bytes = {0xB0, 7, 100};
  one.score.messages = {{{900'000.0}, 1, 0, 3, 0}};
  const Result<OfflineReport> report = render(one, Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  EXPECT_LT(report->length.value, 1.0);
}

TEST_F(Offline, GoesOnToTheLastMessageThoughAllIsSilent) {
  Played one = played();
  add_note(one, 0.0, 0.5, 127);
  one.score.message_bytes = {0xB0, 64, 127};
  one.score.messages = {{{20.0}, 1, 0, 3, 0}};  // at 10 s
  const Result<OfflineReport> report = render(one, Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  EXPECT_GE(report->length.value, 10.0);
  EXPECT_LT(report->length.value, 10.5);
}

TEST_F(Offline, ReportsWhatItWrote) {
  Played one = played();
  add_note(one, 0.0, 1.0, 100);
  const Result<OfflineReport> report = render(one, Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  EXPECT_TRUE(report.diagnostics().empty());
  const Recording recording = read_recording(file("x.wav"));
  EXPECT_EQ(report->frames, recording.left.size());
  EXPECT_NEAR(report->length.value, static_cast<double>(report->frames) / 48'000.0, 1e-9);
  EXPECT_NEAR(report->peak, peak_of(recording), 1e-6);
}

TEST_F(Offline, ShowsProgressFromBeginningToEnd) {
  Played one = played();
  for (int i = 0; i < 60; ++i) add_note(one, i * 0.5, i * 0.5 + 0.4, 64);
  std::vector<double> shown;
  request_.progress = [&](double done) { shown.push_back(done); };
  ASSERT_TRUE(render(one, Wave::kSine, "x.flac"));
  ASSERT_GT(shown.size(), 50u);
  EXPECT_LT(shown.size(), 300u);
  EXPECT_EQ(shown.front(), 0.0);
  EXPECT_EQ(shown.back(), 1.0);
  EXPECT_TRUE(std::ranges::is_sorted(shown));
}

TEST_F(Offline, KeepsTheRateAndDepthThatAreAskedFor) {
  Played one = played();
  add_note(one, 0.0, 1.0, 100);
  request_.album = "Studies";
  request_.depth = SampleDepth::k16;
  for (const int rate : {22'050, 44'100, 96'000}) {
    SCOPED_TRACE(rate);
    request_.synthesizer.sample_rate = rate;
    const Result<OfflineReport> report = render(one, Wave::kSine, "x.wav");
    ASSERT_TRUE(report);
    const Recording recording = read_recording(file("x.wav"));
    EXPECT_EQ(recording.rate, rate);
    EXPECT_EQ(recording.album, "Studies");
    EXPECT_EQ(recording.comment, "rendered by arsis");
    EXPECT_NEAR(static_cast<double>(std::filesystem::file_size(file("x.wav"))),
                static_cast<double>(report->frames) * 4.0, 500.0);
    EXPECT_NEAR(report->length.value, 1.3, 0.2);
  }
}

// Chords of four seconds each, the first softer, so that the loudness of a file can be measured.
Played chords(int velocity) {
  Played one = played();
  for (int i = 0; i < 3; ++i) {
    for (const int key : {60, 64, 67}) add_note(one, i * 4.0, i * 4.0 + 3.9, velocity - 8 * i, key);
  }
  return one;
}

// Of a file, as a listener's player would measure it.
Lufs loudness_of(const Recording& recording, Decibels* true_peak = nullptr) {
  LoudnessMeter meter(recording.rate);
  std::vector<float> both;
  for (std::size_t i = 0; i < recording.left.size(); ++i) {
    both.insert(both.end(), {recording.left[i], recording.right[i]});
  }
  meter.add(both);
  if (true_peak != nullptr) *true_peak = meter.true_peak();
  return meter.loudness().value_or(Lufs{-1000.0});
}

TEST_F(Offline, ReachesTheLoudnessThatIsAskedForUpAndDown) {
  for (const double target : {-18.0, -30.0}) {
    SCOPED_TRACE(target);
    request_.level.loudness = Lufs{target};
    for (const int velocity : {60, 100}) {
      const Result<OfflineReport> report = render(chords(velocity), Wave::kSine, "x.wav");
      ASSERT_TRUE(report);
      EXPECT_FALSE(report->is_limited);
      EXPECT_NEAR(loudness_of(read_recording(file("x.wav"))).value, target, 0.05);
      ASSERT_TRUE(report->loudness);
      EXPECT_NEAR(report->loudness->value, target, 0.05);
    }
  }
}

TEST_F(Offline, StaysUnderTheTruePeakThoughThatIsSofterThanAskedFor) {
  request_.level.loudness = Lufs{-5.0};
  request_.level.true_peak = Decibels{-6.0};
  const Result<OfflineReport> report = render(chords(100), Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  EXPECT_TRUE(report->is_limited);
  Decibels peak;
  const Lufs loudness = loudness_of(read_recording(file("x.wav")), &peak);
  EXPECT_NEAR(peak.value, -6.0, 0.05);
  EXPECT_LT(loudness.value, -5.5);
  EXPECT_NEAR(report->loudness->value, loudness.value, 0.05);
}

TEST_F(Offline, TurnsNothingUpForATruePeakAlone) {
  request_.level.true_peak = Decibels{-40.0};
  const Result<OfflineReport> low = render(chords(100), Wave::kSine, "x.wav");
  ASSERT_TRUE(low);
  Decibels peak;
  loudness_of(read_recording(file("x.wav")), &peak);
  EXPECT_NEAR(peak.value, -40.0, 0.05);
  request_.level.true_peak = Decibels{0.0};
  const Result<OfflineReport> high = render(chords(40), Wave::kSine, "x.wav");
  ASSERT_TRUE(high);
  EXPECT_EQ(high->scaled_by, 1.0);
}

TEST_F(Offline, HasNoLoudnessToReachInSilence) {
  request_.level.loudness = Lufs{-18.0};
  const Result<OfflineReport> report = render(played(), Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  EXPECT_EQ(report->scaled_by, 1.0);
  EXPECT_FALSE(report->loudness);
  ASSERT_EQ(report.diagnostics().size(), 1u);
  EXPECT_EQ(to_string(report.diagnostics()[0]),
            "warning: nothing is heard long enough to have a loudness; nothing was changed");
}

TEST_F(Offline, WarnsWhereNothingIsHeard) {
  Played one = played();
  one.score.parts[0].channel = 9;  // drums, which the SoundFont has none of
  add_note(one, 0.0, 1.0, 100);
  const Result<OfflineReport> report = render(one, Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  ASSERT_EQ(report.diagnostics().size(), 1u);
  EXPECT_EQ(to_string(report.diagnostics()[0]),
            request_.soundfont.string() +
                ": warning: nothing is heard: it may lack the programs of this score; name another "
                "SoundFont with --soundfont");
}

TEST_F(Offline, WritesAFileForAScoreWithoutSound) {
  const Result<OfflineReport> report = render(played(), Wave::kSine, "x.wav");
  ASSERT_TRUE(report);
  EXPECT_TRUE(report.diagnostics().empty());
  EXPECT_EQ(read_recording(file("x.wav")).left.size(), report->frames);
}

TEST_F(Offline, LeavesNoFileWhereTheDiskIsFull) {
  Played one = played();
  add_note(one, 0.0, 3.0, 100);
  request_.soundfont = file("test.sf2");
  test::write_soundfont(request_.soundfont, Wave::kSine);
  for (const std::string_view ending : audio_endings()) {
    SCOPED_TRACE(ending);
    request_.target = file("x" + std::string(ending));
    const test::FullDisk full(2000);
    EXPECT_FALSE(render_offline(one.score, one.performance, request_, soundfont_failed_));
    EXPECT_FALSE(soundfont_failed_);
    EXPECT_EQ(folder_.files(), std::vector<std::string>{"test.sf2"});
  }
}

TEST_F(Offline, LeavesNoFileWhereTheDiskIsFullInTheMiddleOfALongPiece) {
  // Long enough that the frames do not fit in memory.
  Played one = played();
  add_note(one, 0.0, 1.0, 100);
  add_note(one, 100.0, 101.0, 100);
  request_.synthesizer = {.sample_rate = 96'000, .reverb = false};
  request_.soundfont = file("test.sf2");
  request_.target = file("x.wav");
  test::write_soundfont(request_.soundfont, Wave::kSine);
  double shown = 0.0;
  request_.progress = [&](double done) { shown = done; };
  const test::FullDisk full(1u << 20);
  const Result<OfflineReport> report =
      render_offline(one.score, one.performance, request_, soundfont_failed_);
  ASSERT_FALSE(report);
  EXPECT_EQ(to_string(report.diagnostics()[0]),
            file("x.wav").string() +
                ": there is no room beside it for a temporary file (File too large); free some "
                "space, or write to another disk");
  EXPECT_FALSE(soundfont_failed_);
  EXPECT_GT(shown, 0.6);
  EXPECT_LT(shown, 0.8);
  EXPECT_EQ(folder_.files(), std::vector<std::string>{"test.sf2"});
}

TEST_F(Offline, KeepsTheDifferencesInsideASetThatSharesItsGain) {
  RenderRequest request;
  request.soundfont = file("test.sf2");
  request.beside = file("set.wav");
  request.bank.synthesizer.reverb = false;
  request.measures_loudness = true;
  test::write_soundfont(request.soundfont, Wave::kSine);
  std::vector<Rendered> set;
  for (const int velocity : {100, 60}) {
    const Played one = chords(velocity);
    Result<Rendered> rendered =
        render_frames(one.score, one.performance, request, soundfont_failed_);
    ASSERT_TRUE(rendered);
    set.push_back(*std::move(rendered));
  }
  const double before = set[0].meter->loudness()->value - set[1].meter->loudness()->value;
  EXPECT_GT(before, 8.0);
  const Result<CommonGain> common = common_gain(set, {.loudness = Lufs{-23.0}});
  ASSERT_TRUE(common);
  std::vector<double> heard;
  for (Rendered& rendered : set) {
    const std::string name = "x" + std::to_string(heard.size()) + ".flac";
    Result<AudioFile> written = AudioFile::create(file(name), {});
    ASSERT_TRUE(written);
    ASSERT_TRUE(write_audio(rendered, common->gain, *written, {}));
    heard.push_back(loudness_of(read_recording(file(name))).value);
  }
  EXPECT_NEAR(heard[0] - heard[1], before, 0.01);
  EXPECT_GT(heard[0], -23.0);
  EXPECT_LT(heard[1], -23.0);
}

TEST_F(Offline, SoundsWithTheSystemsSoundFontWhereThereIsOne) {
  SoundFontSearch search;
  search.system = system_soundfonts();
  const Result<std::filesystem::path> font = find_soundfont(search);
  if (!font) GTEST_SKIP() << "no General MIDI SoundFont here";
  Played one = played();
  for (int i = 0; i < 20; ++i) add_note(one, i * 0.1, i * 0.1 + 0.3, 90, 48 + 2 * i);
  request_.soundfont = *font;
  for (const char* name : {"a.flac", "b.flac"}) {
    request_.target = file(name);
    const Result<OfflineReport> report =
        render_offline(one.score, one.performance, request_, soundfont_failed_);
    ASSERT_TRUE(report);
    EXPECT_GT(report->peak, 0.02);
    EXPECT_LT(report->length.value, 2.2 + 15.0 + 0.1);
  }
  EXPECT_EQ(folder_.read("a.flac"), folder_.read("b.flac"));
}

}  // namespace
}  // namespace arsis
