#include "sound/offline.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "sound/audio_file.h"
#include "sound/frame_store.h"
#include "sound/timeline.h"

namespace arsis {
namespace {

constexpr std::size_t kBlock = 64;   // frames: what FluidSynth computes at a time
constexpr Decibels kMostPeak{-1.0};  // full level is 0: room for a lossy encoder's overshoot
constexpr float kSilence = 1e-4F;    // -80 dBFS
constexpr Seconds kSilenceLength{0.2};
constexpr Seconds kLongestTail{15.0};
constexpr Seconds kLongestPerformance{6.0 * 3600.0};
constexpr std::uint8_t kDamperPedal = 64;

class Renderer {
 public:
  Renderer(const Score& score, Synthesizer& synthesizer, const OfflineRequest& request)
      : score_(score), synthesizer_(synthesizer), request_(request) {}

  // All messages, then the tail.
  Result<Done> run(const std::vector<TimedMessage>& messages) {
    const double total = messages.empty() ? 1.0 : std::max(messages.back().at.value, 1e-3);
    std::size_t next = 0;
    while (next < messages.size()) {
      const double now = static_cast<double>(blocks_ * kBlock) / rate();
      const double half_block = 0.5 * kBlock / rate();
      for (; next < messages.size() && messages[next].at.value < now + half_block; ++next) {
        send(messages[next]);
      }
      if (next == messages.size()) break;
      if (const Result<Done> done = render_block(); !done) return done;
      if (request_.progress) request_.progress(std::min(1.0, now / total));
    }
    return ring_out();
  }

  Seconds length() const { return {static_cast<double>(blocks_ * kBlock) / rate()}; }
  FrameStore& frames() { return frames_; }

 private:
  double rate() const { return request_.synthesizer.sample_rate; }

  void send(const TimedMessage& message) {
    if (message.exclusive != TimedMessage::kNoMessage) {
      synthesizer_.send(score_.bytes_of(score_.messages[message.exclusive]));
    } else {
      synthesizer_.send(std::span(message.bytes).first(message.size));
    }
  }

  Result<Done> render_block() {
    synthesizer_.render(block_);
    ++blocks_;
    return frames_.add(block_);
  }

  Result<Done> ring_out() {
    for (std::uint8_t channel = 0; channel < 16; ++channel) {
      const std::array<std::uint8_t, 3> release = {static_cast<std::uint8_t>(0xB0 | channel),
                                                   kDamperPedal, 0};
      synthesizer_.send(release);
    }
    const double block_length = kBlock / rate();
    double silent = 0.0;
    for (double tail = 0.0; tail < kLongestTail.value && silent < kSilenceLength.value;
         tail += block_length) {
      if (const Result<Done> done = render_block(); !done) return done;
      const bool quiet =
          std::ranges::all_of(block_, [](float sample) { return std::abs(sample) < kSilence; });
      silent = quiet ? silent + block_length : 0.0;
    }
    return Done{};
  }

  const Score& score_;
  Synthesizer& synthesizer_;
  const OfflineRequest& request_;
  FrameStore frames_;
  std::array<float, kBlock * 2> block_{};
  std::size_t blocks_ = 0;
};

}  // namespace

Result<OfflineReport> render_offline(const Score& score, const Performance& performance,
                                     const OfflineRequest& request, bool& soundfont_failed) {
  soundfont_failed = false;
  const std::vector<TimedMessage> messages = timeline(score, performance);
  if (!messages.empty() && messages.back().at > kLongestPerformance) {
    return fail({.file = request.target.string()}, "the performance is longer than six hours",
                "render it as MIDI, or in pieces");
  }
  Result<AudioFile> file =
      AudioFile::create(request.target, request.synthesizer.sample_rate, request.title);
  if (!file) return file.diagnostics();
  Result<Synthesizer> synthesizer = Synthesizer::with(request.soundfont, request.synthesizer);
  if (!synthesizer) {
    soundfont_failed = true;
    return synthesizer.diagnostics();
  }
  Renderer renderer(score, *synthesizer, request);
  if (const Result<Done> rendered = renderer.run(messages); !rendered) {
    return rendered.diagnostics();
  }
  OfflineReport report;
  report.length = renderer.length();
  report.peak = renderer.frames().peak();
  report.scaled_by = std::min(1.0, to_ratio(kMostPeak) / std::max(report.peak, 1e-9));
  const auto scale = static_cast<float>(report.scaled_by);
  const Result<Done> written = renderer.frames().each([&](std::span<float> samples) {
    for (float& sample : samples) sample *= scale;
    return file->write(samples);
  });
  if (!written) return written.diagnostics();
  if (const Result<Done> finished = file->finish(); !finished) return finished.diagnostics();
  return report;
}

}  // namespace arsis
