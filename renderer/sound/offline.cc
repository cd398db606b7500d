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
// Controllers that hold notes or let them go, from MIDI 1.0: damper, sostenuto, all notes off.
constexpr std::array<std::uint8_t, 3> kReleases = {64, 66, 123};
// Share of the work that is rendering; the rest is writing. Between .wav (0.95) and .opus (0.6).
constexpr double kRenderShare = 0.8;
constexpr double kProgressStep = 0.005;

// Calls back when a step more is done.
class ProgressSteps {
 public:
  explicit ProgressSteps(const std::function<void(double)>& call) : call_(call) {}
  void reach(double done) {
    if (!call_ || (done < next_ && done < 1.0)) return;
    call_(done);
    next_ = done + kProgressStep;
  }

 private:
  const std::function<void(double)>& call_;
  double next_ = 0.0;
};

class Renderer {
 public:
  Renderer(const Score& score, Synthesizer& synthesizer, const OfflineRequest& request)
      : score_(score),
        synthesizer_(synthesizer),
        rate_(request.synthesizer.sample_rate),
        frames_(request.target) {}

  // All messages, then the tail.
  Result<Done> run(std::span<const TimedMessage> messages, ProgressSteps& progress) {
    const double total = messages.empty() ? 1.0 : std::max(messages.back().at.value, 1e-3);
    const double half_block = 0.5 * kBlock / rate_;
    std::size_t next = 0;
    while (true) {
      const double now = length().value;
      while (next < messages.size() && messages[next].at.value < now + half_block) {
        send(messages[next++]);
      }
      if (next == messages.size()) break;
      if (const Result<Done> done = render_block(); !done) return done;
      progress.reach(kRenderShare * now / total);
    }
    return ring_out();
  }

  Seconds length() const { return {static_cast<double>(blocks_ * kBlock) / rate_}; }
  FrameStore& frames() { return frames_; }

 private:
  void send(const TimedMessage& message) { synthesizer_.send(bytes_of(message, score_)); }

  Result<Done> render_block() {
    synthesizer_.render(block_);
    ++blocks_;
    return frames_.add(block_);
  }

  Result<Done> ring_out() {
    for (std::uint8_t channel = 0; channel < 16; ++channel) {
      for (const std::uint8_t controller : kReleases) {
        const std::array<std::uint8_t, 3> release = {static_cast<std::uint8_t>(0xB0 | channel),
                                                     controller, 0};
        synthesizer_.send(release);
      }
    }
    const double block_length = kBlock / rate_;
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
  double rate_;
  FrameStore frames_;
  std::array<float, kBlock * 2> block_{};
  std::size_t blocks_ = 0;
};

// Without what comes so long after the last note that no note could sound there.
std::span<const TimedMessage> audible(std::span<const TimedMessage> messages) {
  const auto is_note = [](const TimedMessage& message) { return message.is_note(); };
  const auto last = std::find_if(messages.rbegin(), messages.rend(), is_note);
  if (last == messages.rend()) return {};
  const Seconds end = last->at + kLongestTail;
  while (messages.back().at > end) messages = messages.first(messages.size() - 1);
  return messages;
}

Result<Done> write_scaled(FrameStore& frames, AudioFile& file, double ratio,
                          ProgressSteps& progress) {
  const auto scale = static_cast<float>(ratio);
  const auto total = static_cast<double>(frames.size());
  std::size_t samples_done = 0;
  Result<Done> written = frames.each([&](std::span<float> samples) {
    for (float& sample : samples) sample *= scale;
    samples_done += samples.size();
    progress.reach(kRenderShare +
                   (1.0 - kRenderShare) * 0.99 * static_cast<double>(samples_done) / total);
    return file.write(samples);
  });
  if (!written) return written;
  return file.finish();
}

}  // namespace

Result<OfflineReport> render_offline(const Score& score, const Performance& performance,
                                     const OfflineRequest& request, bool& soundfont_failed) {
  soundfont_failed = false;
  const std::vector<TimedMessage> all = timeline(score, performance);
  const std::span<const TimedMessage> messages = audible(all);
  if (!messages.empty() && messages.back().at > kLongestPerformance) {
    return fail({.file = request.target.string()}, "the performance is longer than four hours",
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
  ProgressSteps progress(request.progress);
  Renderer renderer(score, *synthesizer, request);
  if (const Result<Done> rendered = renderer.run(messages, progress); !rendered) {
    return rendered.diagnostics();
  }
  OfflineReport report;
  report.length = renderer.length();
  report.frames = renderer.frames().size() / 2;
  report.peak = renderer.frames().peak();
  report.scaled_by = std::min(1.0, to_ratio(kMostPeak) / std::max(report.peak, 1e-9));
  const Result<Done> written = write_scaled(renderer.frames(), *file, report.scaled_by, progress);
  if (!written) return written.diagnostics();
  progress.reach(1.0);
  if (messages.empty() || report.peak >= kSilence) return report;
  return {report,
          {warning({.file = request.soundfont.string()},
                   "nothing is heard: it may lack the programs of this score",
                   "name another SoundFont with --soundfont")}};
}

}  // namespace arsis
