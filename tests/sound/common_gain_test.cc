// One gain for a set of renderings.
#include "sound/common_gain.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "tool/run_arsis.h"

namespace arsis {
namespace {

constexpr int kRate = 48'000;

class Gain : public ::testing::Test {
 protected:
  // A tone of 1 kHz in both channels; without a level, silence.
  void add(std::optional<double> level_db, double seconds, bool metered = true) {
    Rendered rendered{FrameStore(folder_.path() / "x.wav"), kRate, true, std::nullopt};
    if (metered) rendered.meter.emplace(kRate);
    const double peak = level_db ? std::pow(10.0, *level_db / 20.0) : 0.0;
    std::vector<float> samples;
    for (int i = 0; i < static_cast<int>(seconds * kRate); ++i) {
      const double phase = 2.0 * std::numbers::pi * 1000.0 * i / kRate;
      const auto sample = static_cast<float>(peak * std::sin(phase));
      samples.insert(samples.end(), {sample, sample});
    }
    if (metered) rendered.meter->add(samples);
    ASSERT_TRUE(rendered.frames.add(samples));
    set_.push_back(std::move(rendered));
  }

  test::Folder folder_;
  std::vector<Rendered> set_;
};

TEST_F(Gain, IsNoneWhereNothingIsAskedForAndThePeakIsLow) {
  add(-20.0, 1.0, false);
  add(-1.5, 1.0, false);
  const Result<CommonGain> common = common_gain(set_, {});
  ASSERT_TRUE(common);
  EXPECT_EQ(common->gain.value, 0.0);
  EXPECT_FALSE(common->loudness);
  EXPECT_FALSE(common->is_limited);
}

TEST_F(Gain, GoesByTheHighestPeakOfTheSet) {
  add(-20.0, 1.0, false);
  add(5.0, 1.0, false);
  add(-3.0, 1.0, false);
  const Result<CommonGain> common = common_gain(set_, {});
  ASSERT_TRUE(common);
  EXPECT_NEAR(common->gain.value, -6.0, 0.01);
}

TEST_F(Gain, BringsTheWholeSetToItsLoudness) {
  // Source: EBU Tech 3341, case 5: 40 s at -26 dBFS and 20.1 s at -20 dBFS together read -23 LUFS.
  add(-26.0, 40.0);
  add(-20.0, 20.1);
  add(std::nullopt, 5.0);
  const Result<CommonGain> common = common_gain(set_, {.loudness = Lufs{-20.0}});
  ASSERT_TRUE(common);
  EXPECT_NEAR(common->gain.value, 3.0, 0.1);
  EXPECT_NEAR(common->loudness->value, -20.0, 1e-9);
  EXPECT_FALSE(common->is_limited);
}

TEST_F(Gain, StopsAtTheTruePeakOfTheLoudest) {
  struct Row {
    std::optional<Decibels> limit;
    double gain;
  };
  add(-30.0, 60.0);
  add(-4.0, 2.0);
  const std::vector<Row> rows = {{std::nullopt, 3.0}, {Decibels{-6.0}, -2.0}};
  for (const auto& [limit, gain] : rows) {
    const Result<CommonGain> common =
        common_gain(set_, {.loudness = Lufs{0.0}, .true_peak = limit});
    ASSERT_TRUE(common);
    EXPECT_NEAR(common->gain.value, gain, 0.1);
    EXPECT_TRUE(common->is_limited);
    EXPECT_LT(common->loudness->value, 0.0);
  }
}

TEST_F(Gain, TurnsNothingUpForATruePeakAlone) {
  add(-30.0, 1.0);
  EXPECT_EQ(common_gain(set_, {.loudness = {}, .true_peak = Decibels{-1.0}})->gain.value, 0.0);
  EXPECT_NEAR(common_gain(set_, {.loudness = {}, .true_peak = Decibels{-36.0}})->gain.value, -6.0,
              0.1);
}

TEST_F(Gain, IsNoneForSilenceAndForNothing) {
  for (int count = 0; count < 2; ++count) {
    SCOPED_TRACE(count);
    const Result<CommonGain> common = common_gain(set_, {.loudness = Lufs{-18.0}});
    ASSERT_TRUE(common);
    EXPECT_EQ(common->gain.value, 0.0);
    ASSERT_EQ(common.diagnostics().size(), 1u);
    EXPECT_EQ(to_string(common.diagnostics()[0]),
              "warning: nothing is heard long enough to have a loudness; nothing was changed");
    EXPECT_EQ(common_gain(set_, {})->gain.value, 0.0);
    add(std::nullopt, 2.0);
  }
}

}  // namespace
}  // namespace arsis
