#include "sample_shape.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <numbers>

namespace arsis {
namespace {

constexpr Seconds kPeakSearch{0.5};
constexpr Seconds kTailWindow{0.05};
constexpr Seconds kFadeOut{0.05};
constexpr Seconds kShortest{0.02};
constexpr float kSilence = 1e-5F;  // -100 dB, below what 16 bits hold

std::size_t frames_of(Seconds time, int sample_rate) {
  return static_cast<std::size_t>(std::lround(time.value * sample_rate));
}

float peak_of(std::span<const float> sample) {
  float peak = 0.0F;
  for (const float frame : sample) peak = std::max(peak, std::abs(frame));
  return peak;
}

double power_of(std::span<const float> sample) {
  double sum = 0.0;
  for (const float frame : sample) sum += static_cast<double>(frame) * frame;
  return sample.empty() ? 0.0 : sum / static_cast<double>(sample.size());
}

// The end of the last window that is loud enough, and the time to fade from there.
std::size_t tail_end(std::span<const float> sample, int sample_rate, Decibels below_peak) {
  const std::size_t window = frames_of(kTailWindow, sample_rate);
  std::vector<double> powers;
  for (std::size_t at = 0; at + window <= sample.size(); at += window) {
    powers.push_back(power_of(sample.subspan(at, window)));
  }
  if (powers.empty()) return sample.size();
  const double ratio = to_ratio(-below_peak);
  const double least = *std::ranges::max_element(powers) * ratio * ratio;
  std::size_t last = powers.size();
  while (last > 1 && powers[last - 1] < least) --last;
  if (last == powers.size()) return sample.size();
  return std::min(last * window + frames_of(kFadeOut, sample_rate), sample.size());
}

// Solves the normal equations by Gauss-Jordan; they are symmetric and positive definite for
// distinct keys.
template <std::size_t Size>
std::array<double, Size> solved(std::array<std::array<double, Size + 1>, Size> rows) {
  for (std::size_t pivot = 0; pivot < Size; ++pivot) {
    for (std::size_t row = 0; row < Size; ++row) {
      if (row == pivot) continue;
      const double ratio = rows[row][pivot] / rows[pivot][pivot];
      for (std::size_t i = pivot; i <= Size; ++i) rows[row][i] -= ratio * rows[pivot][i];
    }
  }
  std::array<double, Size> solution;
  for (std::size_t i = 0; i < Size; ++i) solution[i] = rows[i][Size] / rows[i][i];
  return solution;
}

template <std::size_t Size>
std::vector<Decibels> fitted(std::span<const int> keys, std::span<const Decibels> levels) {
  const auto place = [](int key) { return (key - 64) / 44.0; };  // -1 to 1 over the piano
  std::array<std::array<double, Size + 1>, Size> rows{};
  for (std::size_t k = 0; k < keys.size(); ++k) {
    for (std::size_t i = 0; i < Size; ++i) {
      for (std::size_t j = 0; j < Size; ++j) {
        rows[i][j] += std::pow(place(keys[k]), static_cast<double>(i + j));
      }
      rows[i][Size] += levels[k].value * std::pow(place(keys[k]), static_cast<double>(i));
    }
  }
  const std::array<double, Size> terms = solved<Size>(rows);
  std::vector<Decibels> curve;
  for (const int key : keys) {
    double level = 0.0;
    for (std::size_t i = Size; i > 0; --i) level = level * place(key) + terms[i - 1];
    curve.push_back({level});
  }
  return curve;
}

}  // namespace

std::optional<SampleMeasure> measure(std::span<const float> sample, int sample_rate,
                                     Audibility audibility) {
  const std::size_t searched = std::min(frames_of(kPeakSearch, sample_rate), sample.size());
  const float peak = peak_of(sample.first(searched));
  if (peak < kSilence) return std::nullopt;
  const auto threshold = peak * static_cast<float>(to_ratio(-audibility.onset_below_peak));
  const auto onset = static_cast<std::size_t>(
      std::ranges::find_if(sample, [&](float frame) { return std::abs(frame) >= threshold; }) -
      sample.begin());
  SampleMeasure measured;
  measured.begin = onset - std::min(onset, frames_of(kLeadIn, sample_rate));
  measured.end = tail_end(sample, sample_rate, audibility.tail_below_peak);
  const std::size_t longest = frames_of(kLongestNote, sample_rate);
  measured.fade = frames_of(kFadeOut, sample_rate);
  if (measured.end > measured.begin + longest) {
    measured.end = measured.begin + longest;
    measured.fade = longest / 4;
  }
  if (measured.end < measured.begin + frames_of(kShortest, sample_rate)) return std::nullopt;
  const std::size_t span =
      std::min(frames_of(kLevelSpan, sample_rate), measured.end - measured.begin);
  const std::span<const float> first = sample.subspan(measured.begin, span);
  measured.level = to_decibels(std::sqrt(power_of(first)));
  measured.peak =
      to_decibels(peak_of(sample.subspan(measured.begin, measured.end - measured.begin)));
  return measured;
}

std::vector<std::int16_t> cut_sample(std::span<const float> sample, int sample_rate,
                                     const SampleMeasure& measured, Decibels gain) {
  assert(measured.begin < measured.end && measured.end <= sample.size());
  const std::span<const float> cut = sample.subspan(measured.begin, measured.end - measured.begin);
  const std::size_t lead_in = frames_of(kLeadIn, sample_rate);
  const std::size_t fade_out = std::min(measured.fade, cut.size() / 4);
  const double scale = 32'767.0 * to_ratio(gain);
  std::vector<std::int16_t> frames;
  frames.reserve(cut.size());
  for (std::size_t i = 0; i < cut.size(); ++i) {
    double faded = scale * cut[i];
    const std::size_t left = cut.size() - 1 - i;
    if (i < lead_in) faded *= static_cast<double>(i) / static_cast<double>(lead_in);
    if (left < fade_out) {
      const double share = static_cast<double>(left) / static_cast<double>(fade_out);
      faded *= 0.5 - 0.5 * std::cos(std::numbers::pi * share);
    }
    frames.push_back(
        static_cast<std::int16_t>(std::lround(std::clamp(faded, -32'767.0, 32'767.0))));
  }
  return frames;
}

std::vector<Decibels> smooth_curve(std::span<const int> keys, std::span<const Decibels> levels) {
  assert(keys.size() == levels.size());
  switch (keys.size()) {
    case 0:
      return {};
    case 1:
      return fitted<1>(keys, levels);
    case 2:
      return fitted<2>(keys, levels);
    default:
      return fitted<3>(keys, levels);
  }
}

}  // namespace arsis
