// The model's promises, measured in rendered sound: a plan and a score through a SoundFont of one
// sine wave, note by note.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "score_builder.h"
#include "shape/perform.h"
#include "sound/offline.h"
#include "sound/recording.h"
#include "sound/sine_soundfont.h"
#include "tool/run_arsis.h"
#include "tool/sine_rendering.h"

namespace arsis {
namespace {

constexpr double kSynthesizerError = 0.15;  // dB: FluidSynth steps its gain by 0.1 dB
constexpr double kRate = 48'000.0;

// Bars of one key, each note followed by a rest, so that none joins the next.
Score one_voice(int bars = 12) {
  test::ScoreText text;
  text.parts = {test::repeated("A4/0.5 r/0.5 A4/0.5 r/0.5 A4/0.5 r/0.5 A4/0.5 r/0.5", bars)};
  text.tempo = {{{0.0}, 1'000'000}};
  return test::score_of(text);
}

// RMS in dB within a note, away from its edges.
double level_within(const std::vector<float>& sound, const PerformedNote& note) {
  const auto first = static_cast<std::size_t>((note.onset.value + 0.05) * kRate);
  const auto last = static_cast<std::size_t>((note.end.value - 0.02) * kRate);
  double sum = 0.0;
  for (std::size_t i = first; i < last; ++i) sum += sound[i] * sound[i];
  return 10.0 * std::log10(sum / static_cast<double>(last - first));
}

struct Heard {
  Score score;
  Shaped shaped;
  std::vector<double> levels;  // of each note, in dB below velocity 127
};

Heard hear(const std::string& plan_lines, const Layers& layers) {
  Heard heard;
  heard.score = one_voice();
  const Result<Plan> plan = parse_plan(
      "arsis: 1\nscore: x.mid\nparts: [{name: r, track: 1, role: melody}]\n" + plan_lines,
      "p.yaml");
  EXPECT_TRUE(plan);
  const Result<BoundPlan> bound = bind_plan(*plan, heard.score);
  EXPECT_TRUE(bound);
  heard.shaped = perform(heard.score, *bound, layers);
  const std::vector<float> sound = test::sine_rendering(heard.score, heard.shaped.performance).left;

  // The same notes at velocity 127: what full level is.
  Performance loud = heard.shaped.performance;
  for (PerformedNote& note : loud.notes) note.velocity = Velocity::clamped(127);
  const std::vector<float> full = test::sine_rendering(heard.score, loud).left;
  for (const PerformedNote& note : heard.shaped.performance.notes) {
    heard.levels.push_back(level_within(sound, note) - level_within(full, note));
  }
  return heard;
}

constexpr const char* kPlan =
    "dynamics:\n  - {at: 1:1, mark: p}\n  - {from: 2:1, to: 5:1, hairpin: cresc, mark: f}\n"
    "  - {from: 7:1, to: 10:1, hairpin: dim, mark: mp}\n"
    "motif: {length: 1 bar, from: 1:1}\n"
    "sentences:\n  - {phrases: [u / u, u u /], main: 2}\n  - {phrases: [u / u, / u u], main: 1}\n";

TEST(AudibleCeiling, HoldsForEveryNoteInTheSound) {
  for (const double amount : {0.0, 1.0, 2.0}) {
    SCOPED_TRACE(amount);
    Layers layers;
    layers.amount = amount;
    const Heard heard = hear(kPlan, layers);
    for (std::size_t i = 0; i < heard.levels.size(); ++i) {
      // A velocity is a whole number: half a unit may lie above, as it may in the file.
      const Decibels rounded = level_of(velocity_at(heard.shaped.levels[i].ceiling));
      EXPECT_LE(heard.levels[i], rounded.value + kSynthesizerError) << "note " << i;
    }
  }
}

TEST(AudibleCeiling, IsReachedAtAmountNoughtAndByMainGoalsOnly) {
  Layers flat;
  flat.amount = 0.0;
  const Heard even = hear(kPlan, flat);
  for (std::size_t i = 0; i < even.levels.size(); ++i) {
    const Decibels ceiling = level_of(velocity_at(even.shaped.levels[i].ceiling));
    EXPECT_NEAR(even.levels[i], ceiling.value, kSynthesizerError) << "note " << i;
  }
  const Heard shaped = hear(kPlan, {});
  int reached = 0;
  for (std::size_t i = 0; i < shaped.levels.size(); ++i) {
    const Decibels ceiling = level_of(velocity_at(shaped.shaped.levels[i].ceiling));
    if (shaped.levels[i] > ceiling.value - kSynthesizerError) ++reached;
  }
  EXPECT_GE(reached, 1);
  EXPECT_LE(reached, 6);  // the two goals, and their nearest neighbours
}

TEST(AudibleTiming, IsThatOfTheModelWithinAFifthOfAMillisecond) {
  // Lingering, broadening and closing bend the tempo; every onset is heard where the model has it.
  const test::Folder folder;
  constexpr int kSentences = 15;  // more than the plan's own, each of six bars
  const Score score = one_voice(12 + 6 * kSentences);
  std::string text = "arsis: 1\nscore: x.mid\nparts: [{name: r, track: 1, role: melody}]\n";
  text += kPlan;
  for (int i = 0; i < kSentences; ++i) text += "  - {like: 1}\n";
  const Result<Plan> plan = parse_plan(text, "p.yaml");
  ASSERT_TRUE(plan);
  const Result<BoundPlan> bound = bind_plan(*plan, score);
  ASSERT_TRUE(bound);
  Layers layers;
  layers.amount = 2.0;
  Performance performance = perform(score, *bound, layers).performance;
  std::vector<double> onsets;
  double most_bent = 0.0;
  for (PerformedNote& note : performance.notes) {
    note.velocity = Velocity::clamped(127);  // all alike over the threshold at once
    most_bent =
        std::max(most_bent, std::abs(note.onset.value - static_cast<double>(onsets.size())));
    onsets.push_back(note.onset.value);
  }
  EXPECT_GT(most_bent, 0.02);
  EXPECT_GE(onsets.size(), 400u);
  OfflineRequest request;
  request.soundfont = folder.path() / "click.sf2";
  request.target = folder.path() / "x.wav";
  request.synthesizer.reverb = false;
  test::write_soundfont(request.soundfont, test::Wave::kClick);
  for (const int rate : {44'100, 48'000}) {
    SCOPED_TRACE(rate);
    request.synthesizer.sample_rate = rate;
    bool soundfont_failed = false;
    ASSERT_TRUE(render_offline(score, performance, request, soundfont_failed));
    const std::vector<double> heard = test::onsets_in(test::read_recording(request.target));
    ASSERT_EQ(heard.size(), onsets.size());
    EXPECT_LT(test::error_of_99_in_100(heard, onsets), 0.0002);
  }
}

}  // namespace
}  // namespace arsis
