#include "sound/clips.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "sound/matched_gains.h"

namespace arsis {
namespace {

// Half of what files have: what lies above 12 kHz is little in a piano, and costs half of the time.
constexpr int kRate = 24'000;
constexpr double kRenderingShare = 0.7;  // of the work; the rest is coding

Result<ClipSet> code_all(std::vector<Rendered>& rendered, std::span<const Decibels> gains,
                         const ClipSettings& settings) {
  Seconds total;
  for (const Rendered& each : rendered) total += each.length();
  const ClipQuality quality = clip_quality(total, settings.most_bytes);
  const OpusSettings opus{
      .sample_rate = kRate, .channels = quality.channels, .kilobits = quality.kilobits};
  const std::function<void(double)> shown = [&](double done) {
    if (settings.progress) settings.progress(kRenderingShare + (1.0 - kRenderingShare) * done);
  };
  Result<std::vector<Bytes>> coded =
      code_side_by_side(rendered, gains, opus, settings.threads, shown);
  if (!coded) return coded.diagnostics();
  ClipSet set{.clips = {}, .sample_rate = kRate, .channels = quality.channels};
  for (std::size_t i = 0; i < rendered.size(); ++i) {
    set.clips.push_back({std::move((*coded)[i]), rendered[i].length()});
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
  SideBySideSettings rendering;
  rendering.soundfont = settings.soundfont;
  rendering.soundfont_beneath = settings.soundfont_beneath;
  rendering.beside = settings.beside;
  rendering.reverb = settings.reverb;
  rendering.sample_rate = kRate;
  rendering.peak = PeakKind::kSample;  // the coder does not keep the peaks to tenths of a dB
  rendering.threads = settings.threads;
  rendering.progress = [&](double done) {
    if (settings.progress) settings.progress(kRenderingShare * done);
  };
  Result<std::vector<Rendered>> rendered =
      render_side_by_side(sources, rendering, soundfont_failed);
  if (!rendered) return rendered.diagnostics();
  const Result<std::vector<Decibels>> gains = matched_gains(*rendered);
  Diagnostics said = rendered.diagnostics();
  append(said, gains.diagnostics());
  Result<ClipSet> set = code_all(*rendered, *gains, settings);
  if (!set) return set.diagnostics();
  return {*std::move(set), std::move(said)};
}

}  // namespace arsis
