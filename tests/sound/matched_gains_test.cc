// Gains that make renderings of the same music equally loud, measured again after they are applied.
#include "sound/matched_gains.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <optional>
#include <vector>

#include "tool/run_arsis.h"

namespace arsis {
namespace {

constexpr int kRate = 48'000;

struct Tone {
  std::optional<double> level_db;  // none: silence
  double seconds;
};

// A tone of 1 kHz in both channels.
std::vector<float> samples_of(const Tone& tone) {
  const double peak = tone.level_db ? std::pow(10.0, *tone.level_db / 20.0) : 0.0;
  const auto count = static_cast<int>(tone.seconds * kRate);
  std::vector<float> samples;
  for (int i = 0; i < count; ++i) {
    const auto sample =
        static_cast<float>(peak * std::sin(2.0 * std::numbers::pi * 1000.0 * i / kRate));
    samples.insert(samples.end(), {sample, sample});
  }
  return samples;
}

struct Row {
  const char* what;
  std::vector<Tone> tones;
  std::vector<double> gains;
};

const std::vector<Row> kRows = {
    {"none", {}, {}},
    {"one alone stays", {{-20.0, 1.0}}, {0.0}},
    {"down to the softest", {{-20.0, 2.0}, {-26.0, 2.0}, {-23.0, 2.0}}, {-6.0, 0.0, -3.0}},
    {"length does not count", {{-20.0, 1.0}, {-26.0, 4.0}}, {-6.0, 0.0}},
    {"matched peaks have room again", {{4.0, 2.0}, {-10.0, 2.0}}, {-14.0, 0.0}},
    {"the peak of the softest lowers all", {{4.0, 2.0}, {2.0, 2.0}}, {-5.0, -3.0}},
};

class MatchedGains : public ::testing::Test {
 protected:
  std::vector<Rendered> rendered(const std::vector<Tone>& tones) {
    std::vector<Rendered> set;
    for (const Tone& tone : tones) {
      Rendered& each = set.emplace_back(
          Rendered{FrameStore(folder_.path() / "x.wav"), kRate, true, std::nullopt});
      each.meter.emplace(kRate);
      each.meter->add(samples_of(tone));
    }
    return set;
  }

  test::Folder folder_;
};

TEST_F(MatchedGains, BringAllDownToTheSoftestAndNoneUp) {
  for (const Row& row : kRows) {
    SCOPED_TRACE(row.what);
    const Result<std::vector<Decibels>> gains = matched_gains(rendered(row.tones));
    ASSERT_TRUE(gains);
    EXPECT_TRUE(gains.diagnostics().empty());
    ASSERT_EQ(gains->size(), row.gains.size());
    for (std::size_t i = 0; i < row.gains.size(); ++i) {
      // A true peak between the samples is found to within 0.1 dB at 1 kHz.
      EXPECT_NEAR((*gains)[i].value, row.gains[i], 0.1) << i;
      EXPECT_LE((*gains)[i].value, 0.0) << i;
    }
  }
}

TEST_F(MatchedGains, LeaveAllEquallyLoudToATenthAndUnderTheirPeak) {
  const std::vector<Tone> tones = {{3.0, 1.5}, {-1.0, 2.0}, {-0.2, 0.9}, {1.7, 3.0}};
  const Result<std::vector<Decibels>> gains = matched_gains(rendered(tones));
  ASSERT_TRUE(gains);
  std::vector<double> loudness;
  for (std::size_t i = 0; i < tones.size(); ++i) {
    std::vector<float> samples = samples_of(tones[i]);
    const auto factor = static_cast<float>(std::pow(10.0, (*gains)[i].value / 20.0));
    for (float& sample : samples) sample *= factor;
    LoudnessMeter meter(kRate);
    meter.add(samples);
    ASSERT_TRUE(meter.loudness());
    loudness.push_back(meter.loudness()->value);
    EXPECT_LE(meter.true_peak().value, -1.0 + 1e-3) << i;
    EXPECT_NEAR(loudness.back(), loudness.front(), 0.1) << i;
  }
}

// A tone of 1 kHz in both channels at -20 dBFS has -20 LUFS (EBU Tech 3341, cases 1 and 2).
TEST_F(MatchedGains, GoOnToTheTargetAsFarAsThePeakLets) {
  const std::vector<Tone> tones = {{-20.0, 1.0}, {-26.0, 2.0}};
  struct Asked {
    LevelTarget target;
    double loudness;
  };
  const Asked rows[] = {{{.loudness = Lufs{-18.0}}, -18.0},
                        {{.loudness = Lufs{-30.0}}, -30.0},
                        {{.loudness = Lufs{0.0}}, -1.0},  // its peak is at -1 dBTP then
                        {{.loudness = Lufs{0.0}, .true_peak = Decibels{-6.0}}, -6.0},
                        {{.true_peak = Decibels{-6.0}}, -26.0}};
  for (const auto& [target, loudness] : rows) {
    const Result<std::vector<Decibels>> gains = matched_gains(rendered(tones), target);
    ASSERT_TRUE(gains);
    EXPECT_NEAR(-20.0 + (*gains)[0].value, loudness, 0.1);
    EXPECT_NEAR(-26.0 + (*gains)[1].value, loudness, 0.1);
  }
}

TEST_F(MatchedGains, AreOfThePeaksAloneWhereOneIsSilent) {
  const Result<std::vector<Decibels>> gains =
      matched_gains(rendered({{-20.0, 1.0}, {std::nullopt, 1.0}, {1.0, 1.0}}));
  ASSERT_TRUE(gains);
  ASSERT_EQ(gains.diagnostics().size(), 1u);
  EXPECT_EQ(
      to_string(gains.diagnostics()[0]),
      "warning: one of them is not heard long enough to have a loudness; they are not matched "
      "in loudness");
  for (const Decibels gain : *gains) EXPECT_NEAR(gain.value, -2.0, 0.1);
}

}  // namespace
}  // namespace arsis
