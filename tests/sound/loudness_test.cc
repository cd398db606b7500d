// The loudness meter, held against the published test signals.
#include "sound/loudness.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace arsis {
namespace {

constexpr double kRate = 48'000.0;

struct Stretch {
  double level;  // dBFS, of a sine's peak
  double seconds;
};

// 1 kHz in both channels, or in the left alone.
void feed(LoudnessMeter& meter, const std::vector<Stretch>& stretches, bool both = true,
          double hertz = 1000.0) {
  std::vector<float> samples;
  double phase = 0.0;
  for (const auto& [level, seconds] : stretches) {
    const double peak = std::pow(10.0, level / 20.0);
    for (int i = 0; i < static_cast<int>(seconds * kRate); ++i) {
      const auto sample = static_cast<float>(peak * std::sin(phase));
      phase += 2.0 * std::numbers::pi * hertz / kRate;
      samples.insert(samples.end(), {sample, both ? sample : 0.0F});
    }
  }
  // In pieces, as rendered sound comes.
  for (std::size_t at = 0; at < samples.size(); at += 16'384) {
    meter.add(std::span(samples).subspan(at, std::min<std::size_t>(16'384, samples.size() - at)));
  }
}

TEST(Loudness, AgreesWithThePublishedTestSignals) {
  struct Row {
    const char* source;
    std::vector<Stretch> stretches;
    double loudness;
  };
  // Source: EBU Tech 3341, table 1, cases 1 to 5 (levels and lengths of 3 to 5 from memory),
  // tolerance 0.1 LU.
  const std::vector<Row> rows = {
      {"case 1", {{-23.0, 20.0}}, -23.0},
      {"case 2", {{-33.0, 20.0}}, -33.0},
      {"case 3", {{-36.0, 10.0}, {-23.0, 60.0}, {-36.0, 10.0}}, -23.0},
      {"case 4",
       {{-72.0, 10.0}, {-36.0, 10.0}, {-23.0, 60.0}, {-36.0, 10.0}, {-72.0, 10.0}},
       -23.0},
      {"case 5", {{-26.0, 20.0}, {-20.0, 20.1}, {-26.0, 20.0}}, -23.0},
  };
  for (const auto& [source, stretches, loudness] : rows) {
    SCOPED_TRACE(source);
    LoudnessMeter meter(48'000);
    feed(meter, stretches);
    ASSERT_TRUE(meter.loudness());
    EXPECT_NEAR(meter.loudness()->value, loudness, 0.1);
  }
}

TEST(Loudness, CountsOneChannelAsHalf) {
  // Source: ITU-R BS.1770-4: a 0 dBFS sine of 997 Hz in one of two channels reads -3.01 LKFS.
  LoudnessMeter meter(48'000);
  feed(meter, {{0.0, 10.0}}, false, 997.0);
  ASSERT_TRUE(meter.loudness());
  EXPECT_NEAR(meter.loudness()->value, -3.01, 0.01);
}

TEST(Loudness, HearsPeaksBetweenTheSamples) {
  // Source: EBU Tech 3341, cases 15 to 18 in kind (true peak, tolerance +0.2 -0.4 dB): a sine of a
  // quarter of the rate, sampled 45 degrees off its peaks, shows 3 dB less than it has.
  LoudnessMeter meter(48'000);
  std::vector<float> samples;
  for (int i = 0; i < 48'000; ++i) {
    const double phase = std::numbers::pi * (i / 2.0 + 0.25);
    const auto sample = static_cast<float>(0.5 * std::sin(phase));
    samples.insert(samples.end(), {sample, 0.0F});
  }
  // Faded in, for the edge itself would overshoot.
  for (int i = 0; i < 4800; ++i)
    samples[static_cast<std::size_t>(2 * i)] *= static_cast<float>(i) / 4800.0F;
  meter.add(samples);
  EXPECT_LT(meter.true_peak().value, -6.02 + 0.2);
  EXPECT_GT(meter.true_peak().value, -6.02 - 0.4);
}

TEST(Loudness, IsTheSameWhereOnlyTheSamplesPeaksAreRead) {
  // A quarter of the rate, begun an eighth of a turn late: no sample comes to the peak, all stay
  // 3 dB below it.
  std::vector<float> samples;
  for (int i = 0; i < 48'000; ++i) {
    const auto sample = static_cast<float>(0.5 * std::sin(std::numbers::pi * (0.25 + 0.5 * i)));
    samples.insert(samples.end(), {sample, sample});
  }
  LoudnessMeter fine(48'000);
  LoudnessMeter coarse(48'000, PeakKind::kSample);
  fine.add(samples);
  coarse.add(samples);
  EXPECT_EQ(fine.loudness(), coarse.loudness());
  EXPECT_NEAR(coarse.true_peak().value, -9.03, 0.01);
  EXPECT_NEAR(fine.true_peak().value, -6.02, 0.3);
}

TEST(Loudness, HasNoneInSilenceNorInAnInstant) {
  LoudnessMeter silent(48'000);
  EXPECT_FALSE(silent.loudness());
  EXPECT_EQ(silent.true_peak().value, -200.0);
  feed(silent, {{-80.0, 5.0}});
  EXPECT_FALSE(silent.loudness());
  LoudnessMeter brief(48'000);
  feed(brief, {{-10.0, 0.3}});
  EXPECT_FALSE(brief.loudness());
  EXPECT_NEAR(brief.true_peak().value, -10.0, 0.3);
}

TEST(Loudness, DoesNotDependOnTheCutWithSilenceBehindIt) {
  std::vector<double> cut;
  std::vector<double> followed;
  for (const double tail : {0.0, 0.07, 0.2, 0.33}) {
    LoudnessMeter meter(48'000);
    feed(meter, {{-20.0, 0.63}, {-200.0, tail}});
    cut.push_back(meter.loudness()->value);
    meter.add_silence();
    followed.push_back(meter.loudness()->value);
  }
  EXPECT_GT(std::ranges::max(cut) - std::ranges::min(cut), 0.5);
  EXPECT_NEAR(std::ranges::max(followed), std::ranges::min(followed), 1e-3);
}

TEST(Loudness, OfSeveralIsThatOfOneAfterAnother) {
  LoudnessMeter soft(48'000);
  LoudnessMeter loud(48'000);
  LoudnessMeter silent(48'000);
  feed(soft, {{-26.0, 40.0}});
  feed(loud, {{-20.0, 20.1}});
  feed(silent, {{-90.0, 20.0}});
  const std::vector<const LoudnessMeter*> all = {&soft, &silent, &loud};
  const auto together = LoudnessMeter::together(all);
  ASSERT_TRUE(together);
  EXPECT_NEAR(together->value, -23.0, 0.1);  // case 5 above, in another order
  const std::vector<const LoudnessMeter*> none = {&silent};
  EXPECT_FALSE(LoudnessMeter::together(none));
  EXPECT_FALSE(LoudnessMeter::together({}));
}

TEST(Loudness, IsTheSameAtEveryRate) {
  for (const int rate : {22'050, 44'100, 48'000, 96'000}) {
    SCOPED_TRACE(rate);
    LoudnessMeter meter(rate);
    std::vector<float> samples;
    for (int i = 0; i < 10 * rate; ++i) {
      const double phase = 2.0 * std::numbers::pi * 1000.0 * i / rate;
      const auto sample = static_cast<float>(std::pow(10.0, -23.0 / 20.0) * std::sin(phase));
      samples.insert(samples.end(), {sample, sample});
    }
    meter.add(samples);
    ASSERT_TRUE(meter.loudness());
    EXPECT_NEAR(meter.loudness()->value, -23.0, 0.1);
  }
}

}  // namespace
}  // namespace arsis
