// Beginnings, levels and ends of samples.
#include "sample_shape.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace arsis {
namespace {

constexpr int kRate = 48'000;

// `before` frames of a soft hum, then a tone of 480 Hz that loses `fall_db` a second.
std::vector<float> tone(std::size_t before, std::size_t frames, double fall_db, double peak = 0.5) {
  std::vector<float> sample;
  for (std::size_t i = 0; i < before; ++i)
    sample.push_back(static_cast<float>(i % 2 ? 0.001 : -0.001));
  for (std::size_t i = 0; i < frames; ++i) {
    const double time = static_cast<double>(i) / kRate;
    sample.push_back(static_cast<float>(peak * std::cos(2.0 * std::numbers::pi * 480.0 * time) *
                                        std::pow(10.0, -fall_db * time / 20.0)));
  }
  return sample;
}

TEST(Measure, FindsTheBeginningWhateverComesBefore) {
  for (const std::size_t before : {0u, 10u, 72u, 480u, 2'736u}) {
    const std::vector<float> sample = tone(before, kRate, 0.0);
    const auto measured = measure(sample, kRate, {});
    ASSERT_TRUE(measured);
    EXPECT_EQ(measured->begin, before < 72 ? 0 : before - 72) << before;  // 1.5 ms of lead-in
    EXPECT_NEAR(measured->level.value, 20.0 * std::log10(0.5 / std::sqrt(2.0)), 0.05);
    EXPECT_NEAR(measured->peak.value, 20.0 * std::log10(0.5), 0.01);
  }
}

TEST(Measure, EndsWhereNothingIsHeardAnyMore) {
  // 60 dB a second from a loudest 50 ms whose middle is 25 ms in: 30 dB below it at 0.525 s.
  const std::vector<float> sample = tone(0, 2 * kRate, 60.0);
  Audibility audibility;
  audibility.tail_below_peak = Decibels{30.0};
  const auto measured = measure(sample, kRate, audibility);
  ASSERT_TRUE(measured);
  EXPECT_NEAR(static_cast<double>(measured->end) / kRate, 0.5 + 0.05, 0.051);
  EXPECT_EQ(measure(tone(0, kRate, 0.0), kRate, audibility)->end, std::size_t{kRate});
}

TEST(Measure, ShortensANoteThatNobodyHolds) {
  const auto measured = measure(tone(0, 20 * kRate, 1.0), kRate, {});
  ASSERT_TRUE(measured);
  EXPECT_EQ(measured->end - measured->begin, std::size_t{12 * kRate});
  EXPECT_EQ(measured->fade, std::size_t{3 * kRate});
}

TEST(Measure, FindsNothingInSilence) {
  EXPECT_FALSE(measure(std::vector<float>(kRate, 0.0F), kRate, {}));
  EXPECT_FALSE(measure({}, kRate, {}));
  EXPECT_FALSE(measure(std::vector<float>(400, 0.5F), kRate, {}));
}

TEST(CutSample, BeginsAndEndsInSilenceAndKeepsWhatIsBetween) {
  const std::vector<float> sample = tone(480, kRate, 0.0);
  const auto measured = measure(sample, kRate, {});
  ASSERT_TRUE(measured);
  const auto cut = cut_sample(sample, kRate, *measured, Decibels{-6.0});
  EXPECT_EQ(cut.size(), measured->end - measured->begin);
  EXPECT_EQ(cut.front(), 0);
  EXPECT_EQ(cut.back(), 0);
  const double scale = 32'767.0 * std::pow(10.0, -6.0 / 20.0);
  for (std::size_t i = 72; i < cut.size() - kRate / 10; ++i) {
    ASSERT_NEAR(cut[i], scale * sample[measured->begin + i], 0.51) << i;
  }
}

TEST(CutSample, ClipsWhatPassesFullLevel) {
  const std::vector<float> sample = tone(0, kRate, 0.0);
  const auto cut = cut_sample(sample, kRate, *measure(sample, kRate, {}), Decibels{20.0});
  EXPECT_EQ(*std::ranges::max_element(cut), 32'767);
  EXPECT_EQ(*std::ranges::min_element(cut), -32'767);
}

TEST(SmoothCurve, GoesThroughAParabolaAndMidwayBetweenWhatScatters) {
  std::vector<int> keys;
  std::vector<Decibels> levels;
  std::vector<Decibels> scattered;
  for (int key = 21; key <= 108; key += 3) {
    const double exact = -20.0 + 0.05 * key - 0.001 * key * key;
    keys.push_back(key);
    levels.push_back({exact});
    scattered.push_back({exact + (key % 2 == 0 ? 3.0 : -3.0)});
  }
  const std::vector<Decibels> smooth = smooth_curve(keys, levels);
  const std::vector<Decibels> middle = smooth_curve(keys, scattered);
  for (std::size_t i = 0; i < keys.size(); ++i) {
    EXPECT_NEAR(smooth[i].value, levels[i].value, 1e-9);
    EXPECT_NEAR(middle[i].value, levels[i].value, 0.7);
  }
}

TEST(SmoothCurve, TakesFewerKeysThanAParabolaNeeds) {
  const std::vector<int> keys = {40, 60};
  const std::vector<Decibels> levels = {{-10.0}, {-14.0}};
  const std::vector<Decibels> line = smooth_curve(keys, levels);
  EXPECT_NEAR(line[0].value, -10.0, 1e-9);
  EXPECT_NEAR(line[1].value, -14.0, 1e-9);
  EXPECT_NEAR(smooth_curve(std::span(keys).first(1), std::span(levels).first(1))[0].value, -10.0,
              1e-9);
  EXPECT_TRUE(smooth_curve({}, {}).empty());
}

}  // namespace
}  // namespace arsis
