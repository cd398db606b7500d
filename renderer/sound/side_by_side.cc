#include "sound/side_by_side.h"

#include <algorithm>
#include <atomic>
#include <optional>
#include <utility>

#include "sound/at_a_time.h"
#include "sound/synthesizer.h"

namespace arsis {
namespace {

constexpr std::size_t kInMemory = 8 * FrameStore::kInMemory;  // samples of all together: 512 MiB

}  // namespace

Result<std::vector<Rendered>> render_side_by_side(std::span<const ClipSource> sources,
                                                  const SideBySideSettings& settings,
                                                  bool& soundfont_failed) {
  soundfont_failed = false;
  // The first of the process alone, and kept: the others then share its samples.
  const Result<Synthesizer> first = Synthesizer::with(
      settings.soundfont, {.sample_rate = settings.sample_rate, .reverb = settings.reverb});
  if (!first) {
    soundfont_failed = true;
    return first.diagnostics();
  }
  SharedProgress progress(sources.size(), settings.progress);
  std::vector<std::optional<Result<Rendered>>> results(sources.size());
  std::atomic<bool> font_failed = false;
  several_at_a_time(sources.size(), settings.threads, [&](std::size_t i) {
    RenderRequest request;
    request.soundfont = settings.soundfont;
    request.beside = settings.beside;
    request.in_memory = std::min(FrameStore::kInMemory, kInMemory / sources.size());
    request.bank.synthesizer.sample_rate = settings.sample_rate;
    request.bank.synthesizer.reverb = settings.reverb;
    request.bank.synthesizer.beneath = settings.soundfont_beneath;
    request.bank.leads = {0};
    request.bank.threads = 1;
    request.measures_loudness = true;
    request.peak = settings.peak;
    request.progress = [&](double done) { progress.reach(i, done); };
    bool failed = false;
    results[i].emplace(render_frames(*sources[i].score, *sources[i].performance, request, failed));
    if (failed) font_failed = true;
  });
  soundfont_failed = font_failed;
  Diagnostics said;
  for (const auto& result : results) append_once(said, result->diagnostics());
  if (has_errors(said)) return said;
  std::vector<Rendered> rendered;
  for (auto& result : results) rendered.push_back(**std::move(result));
  return {std::move(rendered), std::move(said)};
}

Result<std::vector<Bytes>> code_side_by_side(std::span<Rendered> rendered,
                                             std::span<const Decibels> gains,
                                             const OpusSettings& opus, int threads,
                                             const std::function<void(double)>& progress) {
  SharedProgress shared(rendered.size(), progress);
  std::vector<std::optional<Result<Bytes>>> coded(rendered.size());
  several_at_a_time(rendered.size(), threads, [&](std::size_t i) {
    coded[i] = opus_of(rendered[i].frames, gains[i], opus);
    shared.reach(i, 1.0);
  });
  std::vector<Bytes> all;
  for (auto& each : coded) {
    if (!*each) return each->diagnostics();
    all.push_back(**std::move(each));
  }
  return all;
}

}  // namespace arsis
