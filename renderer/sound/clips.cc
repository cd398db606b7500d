#include "sound/clips.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <mutex>
#include <optional>
#include <system_error>
#include <thread>
#include <utility>

#include "sound/matched_gains.h"
#include "sound/opus.h"
#include "sound/progress_steps.h"
#include "sound/rendering.h"
#include "sound/synthesizer.h"

namespace arsis {
namespace {

// Half of what files have: what lies above 12 kHz is little in a piano, and costs half of the time.
constexpr int kRate = 24'000;
constexpr std::size_t kInMemory = 8 * FrameStore::kInMemory;  // samples of all together: 512 MiB
constexpr double kRenderingShare = 0.7;                       // of the work; the rest is coding

// Hands the numbers 0 to count - 1 to `work`, on several threads at a time, each number once. Fewer
// threads where the system gives no more.
template <class Work>
void side_by_side(std::size_t count, int threads, const Work& work) {
  std::atomic<std::size_t> next = 0;
  const auto take_turns = [&] {
    for (std::size_t i = next++; i < count; i = next++) work(i);
  };
  const std::size_t wanted =
      threads > 0 ? static_cast<std::size_t>(threads) : std::thread::hardware_concurrency();
  std::vector<std::jthread> helpers;
  try {
    while (helpers.size() + 1 < std::min(wanted, count)) helpers.emplace_back(take_turns);
  } catch (const std::system_error&) {
  }
  take_turns();
}

// The progress of several works at a time as one.
class SharedProgress {
 public:
  SharedProgress(std::size_t works, const std::function<void(double)>& progress)
      : done_(works, 0.0), steps_(progress) {}

  void reach(std::size_t work, double done) {
    const std::lock_guard lock(mutex_);
    done_[work] = done;
    double sum = 0.0;
    for (const double each : done_) sum += each;
    steps_.reach(sum / static_cast<double>(done_.size()));
  }

 private:
  std::mutex mutex_;
  std::vector<double> done_;
  ProgressSteps steps_;
};

void add_once(Diagnostics& all, const Diagnostics& more) {
  for (const Diagnostic& each : more) {
    if (std::ranges::find(all, each) == all.end()) all.push_back(each);
  }
}

// All renderings, or why one could not be made.
Result<std::vector<Rendered>> render_all(std::span<const ClipSource> sources,
                                         const ClipSettings& settings, SharedProgress& progress,
                                         bool& soundfont_failed) {
  std::vector<std::optional<Result<Rendered>>> results(sources.size());
  std::atomic<bool> font_failed = false;
  side_by_side(sources.size(), settings.threads, [&](std::size_t i) {
    RenderRequest request;
    request.soundfont = settings.soundfont;
    request.beside = settings.beside;
    request.in_memory = std::min(FrameStore::kInMemory, kInMemory / sources.size());
    request.bank.synthesizer.sample_rate = kRate;
    request.bank.synthesizer.reverb = settings.reverb;
    request.bank.synthesizer.beneath = settings.soundfont_beneath;
    request.bank.leads = {0};
    request.bank.threads = 1;
    request.measures_loudness = true;
    request.peak = PeakKind::kSample;  // the coder does not keep the peaks to tenths of a dB
    request.progress = [&](double done) { progress.reach(i, kRenderingShare * done); };
    bool failed = false;
    results[i].emplace(render_frames(*sources[i].score, *sources[i].performance, request, failed));
    if (failed) font_failed = true;
  });
  soundfont_failed = font_failed;
  Diagnostics said;
  for (const auto& result : results) add_once(said, result->diagnostics());
  if (has_errors(said)) return said;
  std::vector<Rendered> rendered;
  for (auto& result : results) rendered.push_back(**std::move(result));
  return {std::move(rendered), std::move(said)};
}

Result<ClipSet> code_all(std::vector<Rendered>& rendered, std::span<const Decibels> gains,
                         const ClipSettings& settings, SharedProgress& progress) {
  Seconds total;
  for (const Rendered& each : rendered) total += each.length();
  const ClipQuality quality = clip_quality(total, settings.most_bytes);
  const OpusSettings opus{
      .sample_rate = kRate, .channels = quality.channels, .kilobits = quality.kilobits};
  std::vector<std::optional<Result<Bytes>>> coded(rendered.size());
  side_by_side(rendered.size(), settings.threads, [&](std::size_t i) {
    coded[i] = opus_of(rendered[i].frames, gains[i], opus);
    progress.reach(i, 1.0);
  });
  ClipSet set{.clips = {}, .sample_rate = kRate, .channels = quality.channels};
  for (std::size_t i = 0; i < coded.size(); ++i) {
    if (!*coded[i]) return coded[i]->diagnostics();
    set.clips.push_back({**std::move(coded[i]), rendered[i].length()});
  }
  return set;
}

}  // namespace

ClipQuality clip_quality(Seconds total, std::size_t most_bytes) {
  constexpr double kAround = 1.2;  // kb/s that an Ogg file takes beside the bit rate; measured
  const double room =
      static_cast<double>(most_bytes) * 8.0 / 1000.0 / std::max(total.value, 1.0) - kAround;
  if (room >= 48.0) return {.channels = 2, .kilobits = 48};
  return {.channels = 1, .kilobits = static_cast<int>(std::clamp(std::floor(room), 16.0, 40.0))};
}

Result<ClipSet> render_clips(std::span<const ClipSource> sources, const ClipSettings& settings,
                             bool& soundfont_failed) {
  soundfont_failed = false;
  // The first of the process alone, and kept: the others then share its samples.
  const Result<Synthesizer> first =
      Synthesizer::with(settings.soundfont, {.sample_rate = kRate, .reverb = settings.reverb});
  if (!first) {
    soundfont_failed = true;
    return first.diagnostics();
  }
  SharedProgress progress(sources.size(), settings.progress);
  Result<std::vector<Rendered>> rendered =
      render_all(sources, settings, progress, soundfont_failed);
  if (!rendered) return rendered.diagnostics();
  const Result<std::vector<Decibels>> gains = matched_gains(*rendered);
  Diagnostics said = rendered.diagnostics();
  add_once(said, gains.diagnostics());
  Result<ClipSet> set = code_all(*rendered, *gains, settings, progress);
  if (!set) return set.diagnostics();
  return {*std::move(set), std::move(said)};
}

}  // namespace arsis
