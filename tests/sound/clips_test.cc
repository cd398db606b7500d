// Sounds in memory: decoded again, they have the notes where the performance has them, and are
// equally loud.
#include "sound/clips.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <optional>
#include <string>
#include <vector>

#include "sound/loudness.h"
#include "sound/opus.h"
#include "sound/recording.h"
#include "sound/sine_soundfont.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;
using test::level_db;
using test::Recording;
using test::Wave;

struct Piece {
  Score score;
  Performance performance;
};

// Notes of a second each, one after the other, at these velocities.
Piece piece_of(const std::vector<int>& velocities, double first = 0.5) {
  Piece piece;
  piece.score.tracks = {{"", {0.0}}};
  piece.score.parts = {{"", 0, 1, 0}};
  for (std::size_t i = 0; i < velocities.size(); ++i) {
    const double onset = first + static_cast<double>(i);
    Note note;
    note.onset = {2.0 * onset};
    note.end = {2.0 * onset + 1.6};
    note.key = 69;
    note.sequence = static_cast<std::uint32_t>(i);
    piece.score.notes.push_back(note);
    piece.performance.notes.push_back({{onset}, {onset + 0.8}, Velocity::clamped(velocities[i])});
  }
  return piece;
}

class Clips : public ::testing::Test {
 protected:
  Clips() {
    settings_.soundfont = folder_.path() / "test.sf2";
    settings_.beside = folder_.path() / "page.html";
    settings_.reverb = false;
  }

  Result<ClipSet> render(const std::vector<Piece>& pieces, Wave wave = Wave::kSine) {
    test::write_soundfont(settings_.soundfont, wave);
    std::vector<ClipSource> sources;
    for (const Piece& piece : pieces) sources.push_back({&piece.score, &piece.performance});
    return render_clips(sources, settings_, soundfont_failed_);
  }

  Recording decoded(const Bytes& opus) const {
    const std::filesystem::path path = folder_.path() / "clip.opus";
    std::ofstream(path, std::ios::binary)
        .write(reinterpret_cast<const char*>(opus.data()),
               static_cast<std::streamsize>(opus.size()));
    return test::read_recording(path);
  }

  Folder folder_;
  ClipSettings settings_;
  bool soundfont_failed_ = false;
};

Lufs loudness_of(const Recording& recording) {
  LoudnessMeter meter(recording.rate);
  std::vector<float> samples;
  for (std::size_t i = 0; i < recording.left.size(); ++i) {
    samples.insert(samples.end(), {recording.left[i], recording.right[i]});
  }
  meter.add(samples);
  return meter.loudness().value_or(Lufs{-99.0});
}

TEST_F(Clips, AreEquallyLoudAndNoneIsTurnedUp) {
  const auto set = render({piece_of({100, 100, 100}), piece_of({60, 60, 60}),
                           piece_of({110, 40, 90}), piece_of({127, 20, 20})});
  ASSERT_TRUE(set);
  ASSERT_EQ(set->clips.size(), 4u);
  const Lufs softest = loudness_of(decoded(set->clips[1].opus));
  for (const Clip& clip : set->clips) {
    // A tenth of a unit of loudness; the coding may change it by as much.
    EXPECT_NEAR(loudness_of(decoded(clip.opus)).value, softest.value, 0.2);
  }
}

TEST_F(Clips, KeepTheLevelsOfNotesWithinAPerformance) {
  const auto set = render({piece_of({100, 50})});
  ASSERT_TRUE(set);
  const Recording recording = decoded(set->clips[0].opus);
  EXPECT_NEAR(level_db(recording, 0.7, 1.2) - level_db(recording, 1.7, 2.2),
              (level_of(Velocity::clamped(100)) - level_of(Velocity::clamped(50))).value, 0.3);
}

TEST_F(Clips, HaveTheNotesWithinFiveMillisecondsOfTheirTime) {
  const auto set = render({piece_of({100, 100, 100, 100}, 0.5137)});
  ASSERT_TRUE(set);
  const Recording recording = decoded(set->clips[0].opus);
  for (int note = 0; note < 4; ++note) {
    const double onset = 0.5137 + note;
    EXPECT_LT(level_db(recording, onset - 0.03, onset - 0.005), -40.0) << note;
    EXPECT_GT(level_db(recording, onset + 0.005, onset + 0.03), -20.0) << note;
  }
}

TEST_F(Clips, AreTheSameBytesEachTimeWithAnyNumberOfThreads) {
  const std::vector<Piece> pieces = {piece_of({100, 80}), piece_of({60, 90}), piece_of({30})};
  settings_.threads = 1;
  const auto first = render(pieces);
  settings_.threads = 3;
  const auto second = render(pieces);
  ASSERT_TRUE(first && second);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    EXPECT_EQ(first->clips[i].opus, second->clips[i].opus) << i;
  }
}

TEST_F(Clips, TakeNoMoreRoomThanTheyMay) {
  const std::vector<Piece> pieces = {piece_of(std::vector<int>(20, 90)),
                                     piece_of(std::vector<int>(20, 60))};
  for (const std::size_t most : {400'000u, 220'000u, 130'000u}) {
    settings_.most_bytes = most;
    const auto set = render(pieces);
    ASSERT_TRUE(set);
    const std::size_t size = set->clips[0].opus.size() + set->clips[1].opus.size();
    EXPECT_LT(size, most) << most;
    EXPECT_GT(size, 50'000u);
    EXPECT_EQ(decoded(set->clips[0].opus).channels, set->channels);
  }
}

TEST_F(Clips, TellHowLongTheySound) {
  const auto set = render({piece_of({100, 80})});
  ASSERT_TRUE(set);
  const Recording recording = decoded(set->clips[0].opus);
  EXPECT_NEAR(set->clips[0].length.value,
              static_cast<double>(recording.left.size()) / recording.rate, 0.03);
  EXPECT_GT(set->clips[0].length.value, 2.2);
}

TEST_F(Clips, SayWhatIsWrongWithASoundFont) {
  std::ofstream(settings_.soundfont) << "no font";
  const Piece piece = piece_of({100});
  const ClipSource source{&piece.score, &piece.performance};
  const auto set = render_clips({&source, 1}, settings_, soundfont_failed_);
  ASSERT_FALSE(set);
  EXPECT_TRUE(soundfont_failed_);
  EXPECT_EQ(to_string(set.diagnostics().front()),
            settings_.soundfont.string() + ": is not a SoundFont; an SF2 or SF3 file is needed");
}

TEST_F(Clips, WarnOnceWhereNothingSounds) {
  Piece silent = piece_of({});
  const auto set = render({silent, silent});
  ASSERT_TRUE(set);
  ASSERT_EQ(set.diagnostics().size(), 1u);
  EXPECT_EQ(set.diagnostics()[0].problem,
            "one of them is not heard long enough to have a loudness");
}

struct QualityRow {
  double seconds;
  std::size_t most;
  int channels;
  int kilobits;
};
// The bit rate is what fits: most * 8 / 1000 / seconds, less 1.2 kb/s, within what sounds well.
constexpr QualityRow kQualities[] = {
    {420.0, 5'400'000, 2, 48},  {870.0, 5'400'000, 2, 48},  {900.0, 5'400'000, 1, 40},
    {1500.0, 5'400'000, 1, 27}, {1100.0, 5'400'000, 1, 38}, {7200.0, 5'400'000, 1, 16},
    {0.0, 5'400'000, 2, 48},
};

TEST(ClipQuality, IsTheBestThatFits) {
  for (const auto& [seconds, most, channels, kilobits] : kQualities) {
    SCOPED_TRACE(seconds);
    const ClipQuality quality = clip_quality({seconds}, most);
    EXPECT_EQ(quality.channels, channels);
    EXPECT_EQ(quality.kilobits, kilobits);
  }
}

TEST(OggStream, IsLeftAloneWhereItIsNone) {
  for (const std::string& text : {std::string(), std::string("OggS"), std::string(40, 'x'),
                                  "OggS" + std::string(22, '\0') + std::string(3, '\xFF')}) {
    Bytes bytes(text.begin(), text.end());
    const Bytes before = bytes;
    number_ogg_stream(bytes, 7);
    EXPECT_EQ(bytes, before);
  }
}

}  // namespace
}  // namespace arsis
