#include "sound/live_loudness.h"

#include <array>
#include <cassert>
#include <utility>

#include "sound/live_desk.h"
#include "sound/synthesizer_voice.h"

namespace arsis {

Result<LoudnessMeter> live_loudness(const std::shared_ptr<const Rendition>& rendition,
                                    const PlayerSettings& settings, const LiveSound& sound,
                                    const std::function<void(double)>& progress) {
  assert(!settings.loop);
  SynthesizerSettings chosen = sound.synthesizer;
  chosen.sample_rate = sound.output.sample_rate;
  Result<Synthesizer> synthesizer = Synthesizer::with(sound.soundfont, chosen);
  if (!synthesizer) return synthesizer.diagnostics();
  LiveDesk desk(rendition, settings);
  SynthesizerVoice voice(desk, *std::move(synthesizer), chosen.sample_rate);
  LoudnessMeter meter(chosen.sample_rate);
  std::array<float, 2048 * 2> frames{};
  const Beats end = settings.end;
  while (!desk.state().done) {
    voice.fill(frames);
    meter.add(frames);
    if (progress && end.value > 0.0) progress(std::min(desk.state().at / end, 1.0));
  }
  meter.add_silence();
  return meter;
}

}  // namespace arsis
