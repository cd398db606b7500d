#include "sound/offline.h"

#include <utility>

#include "sound/progress_steps.h"

namespace arsis {
namespace {

// Share of the work that is rendering; the rest is writing. Between .wav (0.95) and .opus (0.6).
constexpr double kRenderShare = 0.8;

// The progress of one stage as a part of the whole; `steps` must outlive it.
std::function<void(double)> part_of(ProgressSteps& steps, double from, double to) {
  return [&steps, from, to](double done) { steps.reach(from + (to - from) * done); };
}

}  // namespace

Result<Done> append_audio(Rendered& rendered, Decibels gain, AudioFile& file,
                          const std::function<void(double)>& progress) {
  const auto scale = static_cast<float>(to_ratio(gain));
  const auto total = static_cast<double>(rendered.frames.size());
  ProgressSteps steps(progress);
  std::size_t samples_done = 0;
  return rendered.frames.each([&](std::span<float> samples) {
    for (float& sample : samples) sample *= scale;
    samples_done += samples.size();
    steps.reach(0.99 * static_cast<double>(samples_done) / total);
    return file.write(samples);
  });
}

Result<Done> write_audio(Rendered& rendered, Decibels gain, AudioFile& file,
                         const std::function<void(double)>& progress) {
  const Result<Done> written = append_audio(rendered, gain, file, progress);
  if (!written) return written;
  const Result<Done> finished = file.finish();
  if (finished && progress) progress(1.0);
  return finished;
}

Result<OfflineReport> render_offline(const Score& score, const Performance& performance,
                                     const OfflineRequest& request, bool& soundfont_failed) {
  soundfont_failed = false;
  ProgressSteps steps(request.progress);
  AudioSettings settings;
  settings.sample_rate = request.synthesizer.sample_rate;
  settings.depth = request.depth;
  settings.tags.title = request.title;
  settings.tags.album = request.album;
  Result<AudioFile> file = AudioFile::create(request.target, settings);
  if (!file) return file.diagnostics();
  RenderRequest rendering;
  rendering.soundfont = request.soundfont;
  rendering.beside = request.target;
  rendering.bank.synthesizer = request.synthesizer;
  rendering.bank.threads = request.threads;
  rendering.measures_loudness = request.level.needs_meter();
  rendering.progress = part_of(steps, 0.0, kRenderShare);
  Result<Rendered> rendered = render_frames(score, performance, rendering, soundfont_failed);
  if (!rendered) return rendered.diagnostics();
  const Result<CommonGain> gain = common_gain({&*rendered, 1}, request.level);
  const Result<Done> written =
      write_audio(*rendered, gain->gain, *file, part_of(steps, kRenderShare, 1.0));
  if (!written) return written.diagnostics();
  OfflineReport report;
  report.length = rendered->length();
  report.frames = rendered->frames.size() / 2;
  report.peak = rendered->peak();
  report.scaled_by = to_ratio(gain->gain);
  report.loudness = gain->loudness;
  report.is_limited = gain->is_limited;
  Diagnostics warnings = rendered.diagnostics();
  warnings.insert(warnings.end(), gain.diagnostics().begin(), gain.diagnostics().end());
  return {report, warnings};
}

}  // namespace arsis
