#include "sound/rendering.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "sound/progress_steps.h"
#include "sound/silence.h"
#include "sound/timeline.h"

namespace arsis {
namespace {

constexpr Seconds kLongestTail{15.0};

// Drops what comes so long after the last note that no note could sound there.
void keep_audible(std::vector<TimedMessage>& messages) {
  const auto last = std::find_if(messages.rbegin(), messages.rend(),
                                 [](const TimedMessage& message) { return message.is_note(); });
  if (last == messages.rend()) return messages.clear();
  const Seconds end = last->at + kLongestTail;
  while (messages.back().at > end) messages.pop_back();
}

void add_releases(std::vector<TimedMessage>& messages, Seconds at) {
  for (std::uint8_t channel = 0; channel < 16; ++channel) {
    for (const std::uint8_t controller : kReleases) {
      TimedMessage release;
      release.at = at;
      release.bytes = {static_cast<std::uint8_t>(0xB0 | channel), controller, 0};
      release.size = 3;
      messages.push_back(release);
    }
  }
}

// Finds where the tail of a rendering has become silent.
class Tail {
 public:
  Tail(std::uint64_t begin, int sample_rate)
      : begin_(begin), wanted_(static_cast<std::uint64_t>(kSilenceLength.value * sample_rate)) {}

  // How many of the samples belong to the sound; fewer than all: it is over.
  std::size_t keep(std::span<const float> interleaved) {
    for (std::size_t i = 0; i < interleaved.size(); i += 2) {
      const bool sounds =
          std::abs(interleaved[i]) >= kSilence || std::abs(interleaved[i + 1]) >= kSilence;
      silent_ = sounds || frame_ < begin_ ? 0 : silent_ + 1;
      ++frame_;
      if (silent_ == wanted_) return i + 2;
    }
    return interleaved.size();
  }
  bool is_over() const { return silent_ == wanted_; }

 private:
  std::uint64_t begin_;   // frame
  std::uint64_t wanted_;  // frames of silence
  std::uint64_t frame_ = 0;
  std::uint64_t silent_ = 0;  // frames up to here
};

Result<Done> fill(Rendered& rendered, SynthesizerBank& bank, const Score& score,
                  std::span<const TimedMessage> messages,
                  const std::function<void(double)>& progress) {
  const double rate = rendered.sample_rate;
  const double end = messages.back().at.value * rate;
  const auto longest = static_cast<std::uint64_t>(end + kLongestTail.value * rate);
  Tail tail(static_cast<std::uint64_t>(end), rendered.sample_rate);
  ProgressSteps steps(progress);
  double frames = 0.0;
  steps.reach(0.0);
  const auto take = [&](std::span<const float> samples) -> Result<bool> {
    samples = samples.first(tail.keep(samples));
    if (rendered.meter) rendered.meter->add(samples);
    if (const Result<Done> kept = rendered.frames.add(samples); !kept) return kept.diagnostics();
    frames += static_cast<double>(samples.size() / 2);
    steps.reach(std::min(0.99, frames / std::max(end, 1.0)));
    return !tail.is_over();
  };
  const Result<Done> done = bank.render(score, messages, longest, take);
  if (done) steps.reach(1.0);
  return done;
}

}  // namespace

Seconds Rendered::length() const { return {static_cast<double>(frames.size() / 2) / sample_rate}; }

bool Rendered::is_silent() const { return frames.peak() < kSilence; }

Result<Rendered> render_frames(const Score& score, const Performance& performance,
                               const RenderRequest& request, bool& soundfont_failed) {
  soundfont_failed = false;
  std::vector<TimedMessage> messages = timeline(score, performance);
  keep_audible(messages);
  Rendered rendered{.frames = FrameStore(request.beside, request.in_memory),
                    .sample_rate = request.bank.synthesizer.sample_rate,
                    .should_sound = !messages.empty(),
                    .meter = std::nullopt};
  const Seconds end = messages.empty() ? Seconds{0.0} : messages.back().at;
  if (end > kLongestPerformance) {
    return fail({.file = request.beside.string()}, "the performance is longer than four hours",
                "render it as MIDI, or in pieces");
  }
  add_releases(messages, end);
  Result<SynthesizerBank> bank = SynthesizerBank::with(request.soundfont, request.bank);
  if (!bank) {
    soundfont_failed = true;
    return bank.diagnostics();
  }
  if (request.measures_loudness) rendered.meter.emplace(rendered.sample_rate, request.peak);
  const Result<Done> filled = fill(rendered, *bank, score, messages, request.progress);
  if (!filled) return filled.diagnostics();
  if (!rendered.should_sound || !rendered.is_silent()) return rendered;
  return {std::move(rendered),
          {warning({.file = request.soundfont.string()},
                   "nothing is heard: it may lack the programs of this score",
                   "name another SoundFont with --soundfont")}};
}

}  // namespace arsis
