// A ceiling is a ceiling on an instrument that does not follow the law: rendered by its measured
// levels, and heard note by note.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "score_builder.h"
#include "shape/perform.h"
#include "sound/level_survey.h"
#include "sound/offline.h"
#include "sound/recording.h"
#include "sound/sine_soundfont.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

constexpr double kSynthesizerError = 0.15;  // dB: FluidSynth steps its gain by 0.1 dB

// From ff to mf, where a step of velocity of this font is at most 0.2 dB.
constexpr const char* kPlan =
    "arsis: 1\nscore: x.mid\nparts: [{name: r, track: 1, role: melody}]\n"
    "dynamics:\n  - {at: 1:1, mark: f}\n  - {from: 2:1, to: 5:1, hairpin: cresc, mark: ff}\n"
    "  - {from: 7:1, to: 10:1, hairpin: dim, mark: mf}\n"
    "motif: {length: 1 bar, from: 1:1}\n"
    "sentences:\n  - {phrases: [u / u, u u /], main: 2}\n  - {phrases: [u / u, / u u], main: 1}\n"
    "shape: {motif: {depth: 0.5 dB}, phrase: {depth: 1 dB}, sentence: {depth: 1 dB}}\n";

// Plays a score of single notes, each followed by a rest, on a font of half the law.
class HalfLaw : public ::testing::Test {
 protected:
  HalfLaw() {
    test::write_soundfont(font(), test::Wave::kSine, test::VelocityLaw::kHalf);
    test::ScoreText text;
    text.parts = {test::repeated("A4/0.5 r/0.5 A4/0.5 r/0.5 A4/0.5 r/0.5 A4/0.5 r/0.5", 12)};
    text.tempo = {{{0.0}, 1'000'000}};
    score_ = test::score_of(text);
  }
  std::filesystem::path font() const { return folder_.path() / "half.sf2"; }

  Shaped performed(const Instrument& instrument) const {
    const Result<Plan> plan = parse_plan(kPlan, "p.yaml");
    EXPECT_TRUE(plan);
    const Result<BoundPlan> bound = bind_plan(*plan, score_);
    EXPECT_TRUE(bound);
    return perform(score_, *bound, {}, instrument);
  }
  Instrument measured() const {
    const Result<LevelSurvey> survey = survey_levels({.soundfont = font(), .programs = {0}});
    EXPECT_TRUE(survey);
    Instrument instrument;
    instrument.by_program[0] = std::make_shared<const LevelTable>(survey->at(0));
    return instrument;
  }
  // RMS of each note in dB, away from its edges.
  std::vector<double> levels_of(const Performance& performance) const {
    OfflineRequest request;
    request.soundfont = font();
    request.target = folder_.path() / "x.wav";
    request.synthesizer.reverb = false;
    bool soundfont_failed = false;
    EXPECT_TRUE(render_offline(score_, performance, request, soundfont_failed));
    const test::Recording recording = test::read_recording(request.target);
    std::vector<double> levels;
    for (const PerformedNote& note : performance.notes) {
      levels.push_back(test::level_db(recording, note.onset.value + 0.05, note.end.value - 0.02));
    }
    return levels;
  }
  // What is heard above what the model wants, note by note, both below velocity 127.
  std::vector<double> errors_of(const Shaped& shaped) const {
    Performance loud = shaped.performance;
    for (PerformedNote& note : loud.notes) note.velocity = Velocity::clamped(127);
    const std::vector<double> full = levels_of(loud);
    std::vector<double> errors = levels_of(shaped.performance);
    for (std::size_t i = 0; i < errors.size(); ++i) {
      errors[i] -= full[i] + shaped.levels[i].level.value;
    }
    return errors;
  }

  test::Folder folder_;
  Score score_;
};

TEST_F(HalfLaw, SoundsTheModelsLevelsWhereItIsMeasured) {
  const Shaped shaped = performed(measured());
  const std::vector<double> errors = errors_of(shaped);
  ASSERT_EQ(errors.size(), 48u);
  for (std::size_t i = 0; i < errors.size(); ++i) {
    EXPECT_GE(errors[i], -0.3) << "note " << i;
    EXPECT_LE(errors[i], kSynthesizerError) << "note " << i;
    const double above_ceiling =
        errors[i] + shaped.levels[i].level.value - shaped.levels[i].ceiling.value;
    EXPECT_LE(above_ceiling, kSynthesizerError) << "note " << i;
  }
}

TEST_F(HalfLaw, PassesTheCeilingWhereTheLawIsBelieved) {
  const Shaped shaped = performed({});
  const std::vector<double> errors = errors_of(shaped);
  int above = 0;
  for (std::size_t i = 0; i < errors.size(); ++i) {
    above += errors[i] + shaped.levels[i].level.value > shaped.levels[i].ceiling.value + 0.3;
  }
  EXPECT_GT(above, 30);
}

}  // namespace
}  // namespace arsis
