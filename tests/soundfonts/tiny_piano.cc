#include "soundfonts/tiny_piano.h"

#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

namespace arsis::test {
namespace fs = std::filesystem;
namespace {

constexpr int kRate = 48'000;
constexpr std::array kNames = {"C2", "C4", "C6", "F#6", "A7"};
constexpr std::array kBrightness = {2.6, 1.7, 0.9};  // partial n has the amplitude n^-b
constexpr double kSecondsOfDecay = 1.5;              // to 1/e
constexpr double kLength = 1.6;                      // seconds
constexpr double kLoudest = 0.08;  // of a partial alone; the sum of all stays below full level

// From its onset; all partials start at their crests, so that the onset is plain to see.
double tone(int key, std::size_t layer, double time) {
  if (time < 0.0) return 0.0;
  const double pitch = 440.0 * std::exp2((key - 69) / 12.0);
  const int partials = std::clamp(static_cast<int>(12'000.0 / pitch), 1, 16);
  double sum = 0.0;
  double power = 0.0;
  for (int n = 1; n <= partials; ++n) {
    const double amplitude = std::pow(n, -kBrightness[layer]);
    sum += amplitude * std::cos(2.0 * std::numbers::pi * pitch * n * time);
    power += amplitude * amplitude;
  }
  return sum / std::sqrt(power) * std::exp(-time / kSecondsOfDecay);
}

}  // namespace

double tiny_onset_ms(std::size_t layer, std::size_t key) {
  const std::size_t place = (layer * kTinyKeys.size() + key) * 4 % 15;  // each of 0 to 14 once
  return 5.0 + 52.0 * static_cast<double>(place) / 14.0;
}

double tiny_level_db(std::size_t layer, std::size_t key) {
  constexpr std::array kLayers = {-9.5, 0.0, -6.0};
  return kLayers[layer] + (key % 2 == 0 ? 1.5 : -1.5);
}

void write_stereo(const fs::path& path, const std::vector<float>& interleaved) {
  SF_INFO info{};
  info.samplerate = kRate;
  info.channels = 2;
  info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_24;
  SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
  sf_writef_float(file, interleaved.data(), static_cast<sf_count_t>(interleaved.size() / 2));
  sf_close(file);
}

std::vector<fs::path> write_tiny_piano(const fs::path& folder) {
  std::vector<fs::path> layers;
  for (std::size_t layer = 0; layer < kTinyLayers; ++layer) {
    layers.push_back(folder / ("layer" + std::to_string(layer + 1)));
    fs::create_directory(layers.back());
    for (std::size_t key = 0; key < kTinyKeys.size(); ++key) {
      const double gain = kLoudest * std::pow(10.0, tiny_level_db(layer, key) / 20.0);
      const double other = key % 2 == 0 ? -0.8 : -1.25;
      std::vector<float> frames;
      for (int i = 0; i < kLength * kRate; ++i) {
        const double time = i / double{kRate} - tiny_onset_ms(layer, key) / 1000.0;
        const double frame = gain * tone(kTinyKeys[key], layer, time);
        frames.push_back(static_cast<float>(frame));
        frames.push_back(static_cast<float>(other * frame));
      }
      write_stereo(layers.back() / (std::string(kNames[key]) + "v1.wav"), frames);
    }
  }
  return layers;
}

fs::path write_tiny_noises(const fs::path& folder) {
  const fs::path noises = folder / "release";
  fs::create_directory(noises);
  std::vector<float> frames;
  for (int i = 0; i < kRate * 3 / 10; ++i) {
    const double frame = 0.1 * std::sin(2.0 * std::numbers::pi * 3000.0 * i / kRate);
    frames.insert(frames.end(), 2, static_cast<float>(frame));
  }
  write_stereo(noises / "rel1.wav", frames);
  write_stereo(noises / "rel40.wav", frames);
  return noises;
}

}  // namespace arsis::test
