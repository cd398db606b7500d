// The survey of a SoundFont, on fonts whose levels are known.
#include "sound/level_survey.h"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "sound/sine_soundfont.h"
#include "sound/synthesizer.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;
using test::VelocityLaw;
using test::Wave;

constexpr double kStep = 0.1;  // dB: FluidSynth's steps of level

std::filesystem::path font_in(const Folder& folder, VelocityLaw law = VelocityLaw::kStandard) {
  const std::filesystem::path path = folder.path() / "sine.sf2";
  test::write_soundfont(path, Wave::kSine, law);
  return path;
}

LevelSurvey survey_of(const SurveyRequest& request) {
  const Result<LevelSurvey> survey = survey_levels(request);
  EXPECT_TRUE(survey);
  return survey ? *survey : LevelSurvey{};
}

// Source: SoundFont 2.04, 8.4.1: 40 log10(v / 127), and half of it with a modulator of half.
TEST(LevelSurvey, FindsTheLawThatTheSoundFontFollows) {
  const Folder folder;
  for (const auto& [law, factor] :
       {std::pair(VelocityLaw::kStandard, 40.0), std::pair(VelocityLaw::kHalf, 20.0)}) {
    const LevelSurvey survey = survey_of({.soundfont = font_in(folder, law), .programs = {0}});
    ASSERT_EQ(survey.size(), 1u);
    const LevelTable& table = survey.at(0);
    ASSERT_EQ(table.keys().size(), 14u);
    EXPECT_EQ(table.keys().front().key, 24);
    EXPECT_EQ(table.keys().back().key, 102);
    for (const KeyLevels& key : table.keys()) {
      EXPECT_EQ(key.points.size(), 17u);
      for (const LevelPoint& point : key.points) {
        EXPECT_NEAR(point.level.value, factor * std::log10(point.velocity.value() / 127.0), kStep)
            << "velocity " << point.velocity.value() << ", key " << key.key;
      }
    }
  }
}

// Level of one note on a synthesizer of its own.
double level_alone(const std::filesystem::path& font, int key, int velocity) {
  Result<Synthesizer> synthesizer = Synthesizer::with(font, {.reverb = false});
  EXPECT_TRUE(synthesizer);
  synthesizer->send(std::array<std::uint8_t, 3>{0x90, static_cast<std::uint8_t>(key),
                                                static_cast<std::uint8_t>(velocity)});
  std::vector<float> sound(2 * 14'400);
  synthesizer->render(sound);
  double sum = 0.0;
  for (const float sample : sound) sum += double{sample} * double{sample};
  return 10.0 * std::log10(sum / 14'400.0);
}

TEST(LevelSurvey, HearsEveryNoteAsOnAFreshSynthesizer) {
  const Folder folder;
  // Played from loud to soft, so that what rings on would be heard.
  SurveyRequest request{.soundfont = font_in(folder), .programs = {0}, .keys = {96, 30, 60}};
  for (const int velocity : {127, 90, 20, 3}) {
    request.velocities.push_back(Velocity::clamped(velocity));
  }
  const LevelSurvey survey = survey_of(request);
  ASSERT_EQ(survey.at(0).keys().size(), 3u);
  for (const KeyLevels& key : survey.at(0).keys()) {
    const double loudest = level_alone(request.soundfont, key.key, 127);
    ASSERT_EQ(key.points.size(), 4u);
    for (const LevelPoint& point : key.points) {
      const double alone = level_alone(request.soundfont, key.key, point.velocity.value());
      EXPECT_NEAR(point.level.value, alone - loudest, 1e-5)
          << "velocity " << point.velocity.value() << ", key " << key.key;
    }
  }
}

TEST(LevelSurvey, RepeatsItselfExactly) {
  const Folder folder;
  const SurveyRequest request{.soundfont = font_in(folder), .programs = {0, 3}, .keys = {40, 80}};
  EXPECT_EQ(survey_of(request), survey_of(request));
}

TEST(LevelSurvey, ShowsItsProgressUpToTheEnd) {
  const Folder folder;
  std::vector<double> shown;
  SurveyRequest request{.soundfont = font_in(folder), .programs = {0}, .keys = {60}};
  request.progress = [&](double done) { shown.push_back(done); };
  survey_of(request);
  EXPECT_EQ(shown, std::vector<double>{1.0});
}

TEST(LevelSurvey, ListsTheProgramsForMelodies) {
  const Folder folder;
  const Result<std::vector<int>> programs = melodic_programs(font_in(folder));
  ASSERT_TRUE(programs);
  EXPECT_EQ(*programs, std::vector<int>{0});
}

TEST(LevelSurvey, RefusesWhatIsNoSoundFont) {
  const Folder folder;
  folder.write("x.sf2", "RIFF");
  const std::filesystem::path path = folder.path() / "x.sf2";
  const Result<LevelSurvey> survey = survey_levels({.soundfont = path, .programs = {0}});
  ASSERT_FALSE(survey);
  EXPECT_EQ(to_string(survey.diagnostics()[0]),
            path.string() + ": is not a SoundFont; an SF2 or SF3 file is needed");
  EXPECT_FALSE(melodic_programs(path));
}

}  // namespace
}  // namespace arsis
