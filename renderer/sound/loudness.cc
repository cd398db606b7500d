#include "sound/loudness.h"

#include <ebur128.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <new>
#include <vector>

namespace arsis {
namespace {

constexpr unsigned kSides = 2;            // channels of a frame
constexpr double kLeastTruePeak = 1e-10;  // -200 dB

struct MeterDeleter {
  void operator()(ebur128_state* state) const { ebur128_destroy(&state); }
};

int mode_of(PeakKind peak) {
  return peak == PeakKind::kTrue ? EBUR128_MODE_TRUE_PEAK : EBUR128_MODE_SAMPLE_PEAK;
}

// libebur128 says minus infinity where nothing passes the gate.
std::optional<Lufs> finite(double loudness) {
  if (!std::isfinite(loudness)) return std::nullopt;
  return Lufs{loudness};
}

}  // namespace

struct LoudnessMeter::Handle {
  int sample_rate = 0;
  std::unique_ptr<ebur128_state, MeterDeleter> state;
  PeakKind peak = PeakKind::kTrue;
};

LoudnessMeter::LoudnessMeter(int sample_rate, PeakKind peak) : handle_(std::make_unique<Handle>()) {
  assert(sample_rate >= 8'000 && sample_rate <= 96'000);
  handle_->state.reset(ebur128_init(kSides, static_cast<unsigned long>(sample_rate),
                                    EBUR128_MODE_I | mode_of(peak)));
  handle_->peak = peak;
  handle_->sample_rate = sample_rate;
  if (handle_->state == nullptr) throw std::bad_alloc();  // nothing else can go wrong there
}
LoudnessMeter::LoudnessMeter(LoudnessMeter&&) noexcept = default;
LoudnessMeter& LoudnessMeter::operator=(LoudnessMeter&&) noexcept = default;
LoudnessMeter::~LoudnessMeter() = default;

void LoudnessMeter::add(std::span<const float> interleaved) {
  assert(interleaved.size() % kSides == 0);
  if (ebur128_add_frames_float(handle_->state.get(), interleaved.data(),
                               interleaved.size() / kSides) != EBUR128_SUCCESS) {
    throw std::bad_alloc();
  }
}

void LoudnessMeter::add_silence() {
  add(std::vector<float>(static_cast<std::size_t>(handle_->sample_rate / 2) * kSides));
}

std::optional<Lufs> LoudnessMeter::loudness() const {
  double loudness = 0.0;
  ebur128_loudness_global(handle_->state.get(), &loudness);
  return finite(loudness);
}

Decibels LoudnessMeter::true_peak() const {
  double peak = kLeastTruePeak;
  for (unsigned channel = 0; channel < kSides; ++channel) {
    double of_channel = 0.0;
    const auto read = handle_->peak == PeakKind::kTrue ? ebur128_true_peak : ebur128_sample_peak;
    read(handle_->state.get(), channel, &of_channel);
    peak = std::max(peak, of_channel);
  }
  return to_decibels(peak);
}

std::optional<Lufs> LoudnessMeter::together(std::span<const LoudnessMeter* const> meters) {
  std::vector<ebur128_state*> states;
  for (const LoudnessMeter* meter : meters) states.push_back(meter->handle_->state.get());
  if (states.empty()) return std::nullopt;
  double loudness = 0.0;
  ebur128_loudness_global_multiple(states.data(), states.size(), &loudness);
  return finite(loudness);
}

}  // namespace arsis
