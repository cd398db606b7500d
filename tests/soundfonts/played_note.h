// A SoundFont played one note at a time, and what is measured of such a note.
#pragma once

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstdint>
#include <numbers>
#include <stdexcept>
#include <vector>

#include "sound/synthesizer.h"

namespace arsis::test {

constexpr int kPlayedRate = 48'000;

class NotePlayer {
 public:
  explicit NotePlayer(const std::filesystem::path& font) : synthesizer_(made(font)) {}

  void program(int number) { send({0xC0, number}); }
  // Both channels together (their sum, which keeps a pan of the note), from the moment of the note;
  // it is held for `held` seconds.
  std::vector<double> play(int key, int velocity, double seconds, double held = 100.0) {
    send({0xB0, 120, 0});  // all sound off
    render(64 * 20);
    send({0x90, key, velocity});
    const int before = static_cast<int>(std::min(seconds, held) * kPlayedRate) / 64 * 64;
    std::vector<double> sound = render(before);
    send({0x80, key, 64});
    const std::vector<double> rest =
        render(static_cast<int>(seconds * kPlayedRate) / 64 * 64 - before);
    sound.insert(sound.end(), rest.begin(), rest.end());
    return sound;
  }

 private:
  static Synthesizer made(const std::filesystem::path& font) {
    SynthesizerSettings settings;
    settings.reverb = false;
    Result<Synthesizer> synthesizer = Synthesizer::with(font, settings);
    if (!synthesizer) throw std::runtime_error(to_string(synthesizer.diagnostics()[0]));
    return *std::move(synthesizer);
  }
  void send(std::initializer_list<int> message) {
    std::vector<std::uint8_t> bytes;
    for (const int byte : message) bytes.push_back(static_cast<std::uint8_t>(byte));
    synthesizer_.send(bytes);
  }
  std::vector<double> render(int frames) {
    std::vector<float> interleaved(static_cast<std::size_t>(2 * frames));
    synthesizer_.render(interleaved);
    std::vector<double> sum;
    for (std::size_t i = 0; i + 1 < interleaved.size(); i += 2) {
      sum.push_back(double{interleaved[i]} + double{interleaved[i + 1]});
    }
    return sum;
  }

  Synthesizer synthesizer_;
};

// RMS over [from, to) seconds, in dB.
inline double level_between(const std::vector<double>& sound, double from, double to) {
  const auto first = static_cast<std::size_t>(from * kPlayedRate);
  const auto last = std::min(static_cast<std::size_t>(to * kPlayedRate), sound.size());
  double sum = 1e-30;  // silence is -300 dB, not minus infinity
  for (std::size_t i = first; i < last; ++i) sum += sound[i] * sound[i];
  return 10.0 * std::log10(sum / static_cast<double>(last - first));
}

// The first moment not softer than this share of the peak.
inline double onset_ms(const std::vector<double>& sound, double share_of_peak) {
  double peak = 0.0;
  for (const double frame : sound) peak = std::max(peak, std::abs(frame));
  const auto found = std::ranges::find_if(
      sound, [&](double frame) { return std::abs(frame) >= share_of_peak * peak; });
  return 1000.0 * static_cast<double>(found - sound.begin()) / kPlayedRate;
}

// The mean of the frequencies from 24 Hz to 12 kHz in the first 4096 frames, each weighted by its
// amplitude, taken every 24 Hz: two within the width of a partial.
inline double centroid_hz(const std::vector<double>& sound) {
  constexpr std::size_t kFrames = 4096;
  double sum = 0.0;
  double weights = 0.0;
  for (double hz = 24.0; hz < 12'000.0; hz += 24.0) {
    const std::complex<double> turn = std::polar(1.0, 2.0 * std::numbers::pi * hz / kPlayedRate);
    std::complex<double> phase = 1.0;
    std::complex<double> found = 0.0;
    for (std::size_t i = 0; i < std::min(kFrames, sound.size()); ++i) {
      const double share = static_cast<double>(i) / kFrames;
      const double window = 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * share);
      found += window * sound[i] * phase;
      phase *= turn;
    }
    sum += hz * std::abs(found);
    weights += std::abs(found);
  }
  return sum / weights;
}

}  // namespace arsis::test
