// A miniature piano, built as the real one is and played: every requirement measured in its sound.
#include "grand.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <memory>
#include <string>

#include "soundfonts/played_note.h"
#include "soundfonts/tiny_piano.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;
using test::level_between;
using test::NotePlayer;

GrandRequest request_in(const Folder& folder, const char* name) {
  GrandRequest request;
  for (std::size_t i = 1; i <= test::kTinyLayers; ++i) {
    request.layers.push_back(folder.path() / ("layer" + std::to_string(i)));
  }
  request.target = folder.path() / name;
  request.text = {"Tiny piano", "nobody's", "made of sums"};
  return request;
}

// The samples and two fonts, with and without release noises, made once for all tests.
class Grand : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    folder_ = std::make_unique<Folder>();
    test::write_tiny_piano(folder_->path());
    GrandRequest request = request_in(*folder_, "tiny.sf2");
    const Result<GrandReport> built = build_grand(request);
    ASSERT_TRUE(built) << to_string(built.diagnostics()[0]);
    report_ = *built;
    request.key_off = test::write_tiny_noises(folder_->path());
    request.target = folder_->path() / "noisy.sf2";
    ASSERT_TRUE(build_grand(request));
  }
  static void TearDownTestSuite() { folder_.reset(); }

  static std::filesystem::path font(const char* name = "tiny.sf2") {
    return folder_->path() / name;
  }

  static inline std::unique_ptr<Folder> folder_;
  static inline GrandReport report_;
};

TEST_F(Grand, BringsEveryOnsetToOneMoment) {
  EXPECT_NEAR(report_.earliest.value, 0.005, 0.0002);
  EXPECT_NEAR(report_.latest.value, 0.057, 0.0002);
  NotePlayer player(font());
  for (const double share : {0.1, 0.3}) {
    double earliest = 1e9;
    double latest = 0.0;
    for (const int sampled : test::kTinyKeys) {
      for (int key = sampled - 2; key <= sampled + 2; ++key) {  // as far as a real piano's zones go
        for (int velocity = 4; velocity <= 127; velocity += 12) {
          const double onset = test::onset_ms(player.play(key, velocity, 0.4), share);
          earliest = std::min(earliest, onset);
          latest = std::max(latest, onset);
        }
      }
    }
    EXPECT_LT(latest - earliest, 1.0) << share;
    EXPECT_GT(earliest, 0.5) << share;  // something of the lead-in is left
    EXPECT_LT(latest, 3.0) << share;
  }
}

TEST_F(Grand, FollowsTheLevelLawThroughAllLayers) {
  NotePlayer player(font());
  for (const int key : test::kTinyKeys) {
    SCOPED_TRACE(key);
    const double full = level_between(player.play(key, 127, 0.3), 0.0, 0.3);
    for (int velocity = 16; velocity < 127; ++velocity) {
      const double level = level_between(player.play(key, velocity, 0.3), 0.0, 0.3) - full;
      // Source: SoundFont 2.04, 8.4.1, reducing to 40 log10(v / 127) dB.
      ASSERT_NEAR(level, 40.0 * std::log10(velocity / 127.0), 0.5) << velocity;
    }
  }
}

TEST_F(Grand, HasNoJumpOfLevelFromKeyToKey) {
  NotePlayer player(font());
  double before = level_between(player.play(21, 80, 0.3), 0.0, 0.3);
  for (int key = 22; key <= 108; ++key) {
    const double level = level_between(player.play(key, 80, 0.3), 0.0, 0.3);
    // Neighbouring samples here are up to two octaves apart: a step of the curve between them.
    EXPECT_NEAR(level, before, 1.5) << key;
    before = level;
  }
}

TEST_F(Grand, BrightensWithTheVelocity) {
  NotePlayer player(font());
  for (const int key : {36, 60, 84}) {
    double before = 0.0;
    for (const int velocity : {20, 64, 120}) {  // one of each layer
      const double centroid = test::centroid_hz(player.play(key, velocity, 0.3));
      EXPECT_GT(centroid, 1.1 * before) << key << " at " << velocity;
      before = centroid;
    }
  }
}

TEST_F(Grand, SoundsOnEveryKeyOfAPianoAndNoOther) {
  NotePlayer player(font());
  for (int key = 21; key <= 108; ++key) {
    for (const int velocity : {1, 43, 127}) {
      EXPECT_GT(level_between(player.play(key, velocity, 0.1), 0.0, 0.1), -130.0) << key;
    }
  }
  for (const int key : {20, 109}) {
    EXPECT_LT(level_between(player.play(key, 127, 0.1), 0.0, 0.1), -250.0) << key;
  }
}

TEST_F(Grand, SoundsAlikeOnAllPianoProgramsOfGeneralMidi) {
  NotePlayer player(font());
  const double level = level_between(player.play(60, 80, 0.2), 0.0, 0.2);
  for (int program = 1; program < 8; ++program) {
    player.program(program);
    EXPECT_NEAR(level_between(player.play(60, 80, 0.2), 0.0, 0.2), level, 0.01) << program;
  }
  // The synthesizer would take program 0 for one that is missing: so they are counted, too.
  const std::string bytes = folder_->read("tiny.sf2");
  const std::size_t headers = bytes.find("phdr");
  ASSERT_NE(headers, std::string::npos);
  constexpr int kRecord = 38;  // SoundFont 2.04, 7.2: bytes, and one record that ends the list
  EXPECT_EQ(static_cast<unsigned char>(bytes[headers + 4]) +
                256 * static_cast<unsigned char>(bytes[headers + 5]),
            9 * kRecord);
}

TEST_F(Grand, KeepsTheStrongerChannelWhereBothTogetherWouldCancel) {
  // The first channel leads on even keys, the second by 1.9 dB on odd ones, which are recorded 3 dB
  // softer: 1.1 dB are left between them, and 9.5 between the layers. The sum of both channels
  // would be 18 to 20 dB softer.
  EXPECT_NEAR(report_.loudest.value - report_.softest.value, 9.5 + 1.1, 0.8);
  EXPECT_LT(report_.softest.value, 12.0);  // the sum would have to be turned up by 24
}

// By how much a released key falls within this time, beside one that is held.
double fall_db(NotePlayer& player, int key, double after) {
  constexpr double kHeld = 0.4;
  const double from = kHeld + after;
  const auto held = player.play(key, 127, from + 0.02);
  const auto released = player.play(key, 127, from + 0.02, kHeld);
  return level_between(held, from, from + 0.02) - level_between(released, from, from + 0.02);
}

TEST_F(Grand, DampsALowKeyLongerThanAHighOneAndTheHighestNotAtAll) {
  // Source: SoundFont 2.04, 8.1.3, releaseVolEnv: 100 dB in the time named, even in decibels.
  NotePlayer player(font());
  constexpr double kAfter = 0.08;
  constexpr double kMiddle = kAfter + 0.007;  // the window measures somewhat after its beginning
  for (const int key : {36, 60, 84}) {
    const double expected = 100.0 * kMiddle / release_of(key).value;
    EXPECT_NEAR(fall_db(player, key, kAfter), expected, 0.12 * expected) << key;
  }
  EXPECT_GT(fall_db(player, 89, kAfter), 30.0);
  for (const int key : {90, 100, 108}) EXPECT_LT(fall_db(player, key, kAfter), 0.5) << key;
}

TEST(Release, RunsFromThreeTenthsOfASecondToLess) {
  EXPECT_NEAR(release_of(36).value, 0.3, 1e-9);
  EXPECT_NEAR(release_of(84).value, 0.18, 1e-9);
  EXPECT_NEAR(release_of(60).value, 0.24, 1e-9);
  for (int key = 22; key < kLowestUndamped; ++key) {
    EXPECT_LT(release_of(key), release_of(key - 1)) << key;
    EXPECT_GT(release_of(key).value, 0.1) << key;
  }
  EXPECT_GT(release_of(90).value, 30.0);
}

TEST_F(Grand, LetsTheKeyBeHeardWhenItIsReleased) {
  NotePlayer plain(font());
  NotePlayer noisy(font("noisy.sf2"));
  constexpr double kHeld = 0.4;
  const auto without = plain.play(60, 100, 0.8, kHeld);
  const auto with = noisy.play(60, 100, 0.8, kHeld);
  EXPECT_TRUE(std::equal(without.begin(), without.begin() + 18'000, with.begin(),
                         [](double a, double b) { return std::abs(a - b) < 1e-6; }));
  EXPECT_LT(level_between(without, 0.6, 0.64), -80.0);  // the string is damped by then
  const double noise = level_between(with, 0.6, 0.64);
  const double note = level_between(with, 0.0, 0.3);
  // 40 dB below a note at full strength, as both are softer at velocity 100: by 4.1 and 0.9 dB.
  EXPECT_NEAR(note - noise, 40.0 - 4.1 + 0.9, 3.0);
  EXPECT_LT(level_between(noisy.play(60, 100, 1.2, kHeld), 1.0, 1.2), -110.0);  // and ends
}

TEST_F(Grand, IsTheSameEachTime) {
  GrandRequest request = request_in(*folder_, "again.sf2");
  ASSERT_TRUE(build_grand(request));
  EXPECT_EQ(folder_->read("again.sf2"), folder_->read("tiny.sf2"));
  EXPECT_FALSE(folder_->read("again.sf2").empty());
}

TEST(GrandZones, ShareTheVelocitiesEvenlyWithoutAGap) {
  for (const std::size_t layers : {1u, 3u, 4u, 8u, 16u}) {
    int next = 1;
    for (std::size_t layer = 0; layer < layers; ++layer) {
      const VelocityRange range = velocities_of(layer, layers);
      EXPECT_EQ(range.softest, next);
      EXPECT_NEAR(range.loudest - range.softest + 1, 127.0 / static_cast<double>(layers), 1.0);
      next = range.loudest + 1;
    }
    EXPECT_EQ(next, 128);
  }
}

TEST(GrandZones, MeetHalfWayBetweenTheSampledKeys) {
  const std::vector<int> keys = {21, 24, 27, 36};
  constexpr KeyZone kZones[] = {{21, 22}, {23, 25}, {26, 31}, {32, 108}};
  for (std::size_t i = 0; i < keys.size(); ++i) {
    EXPECT_EQ(zone_of(keys, i).lowest, kZones[i].lowest);
    EXPECT_EQ(zone_of(keys, i).highest, kZones[i].highest);
  }
}

TEST(GrandZones, LieFromLeftToRightAsThePlayerHearsThem) {
  EXPECT_NEAR(pan_of(21), -0.3, 1e-9);
  EXPECT_NEAR(pan_of(108), 0.3, 1e-9);
  for (int key = 22; key <= 108; ++key) EXPECT_GT(pan_of(key), pan_of(key - 1));
}

TEST(GrandErrors, NameEveryDamagedSampleAndWriteNothing) {
  const Folder folder;
  test::write_tiny_piano(folder.path());
  folder.write("layer1/C2v1.wav", "no sound");
  test::write_stereo(folder.path() / "layer2/C4v1.wav", std::vector<float>(96'000, 0.0F));
  test::write_stereo(folder.path() / "layer3/A7v1.wav", std::vector<float>(200, 0.5F));
  const Result<GrandReport> built = build_grand(request_in(folder, "x.sf2"));
  ASSERT_FALSE(built);
  ASSERT_EQ(built.diagnostics().size(), 3u);
  const auto text = [&](std::size_t i) { return to_string(built.diagnostics()[i]); };
  EXPECT_TRUE(text(0).starts_with((folder.path() / "layer1/C2v1.wav: is no sound file").string()));
  EXPECT_EQ(text(1), (folder.path() / "layer2/C4v1.wav").string() +
                         ": is silent or too short; record or fetch it anew");
  EXPECT_EQ(text(2), (folder.path() / "layer3/A7v1.wav").string() +
                         ": is silent or too short; record or fetch it anew");
  EXPECT_EQ(folder.files(), (std::vector<std::string>{"layer1", "layer2", "layer3"}));
}

TEST(GrandErrors, SayWhereTheFontCannotBeWritten) {
  const Folder folder;
  test::write_tiny_piano(folder.path());
  GrandRequest request = request_in(folder, "none/x.sf2");
  const Result<GrandReport> built = build_grand(request);
  ASSERT_FALSE(built);
  EXPECT_NE(to_string(built.diagnostics()[0]).find("there is no folder"), std::string::npos);
}

}  // namespace
}  // namespace arsis
