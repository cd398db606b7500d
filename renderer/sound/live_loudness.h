// How loud something will be when it is played through the synthesizer live.
#pragma once

#include <functional>
#include <memory>

#include "base/diagnostic.h"
#include "sound/live.h"
#include "sound/loudness.h"

namespace arsis {

// Plays it through once without a device, as fast as it goes (some sixty times its speed), and
// measures it with its tail and half a second of silence, at its rendition's gain. One synthesizer
// with messages in blocks of kBlock, as in live playing: a rendering with several differs from it
// by some tenths of a decibel in a passage of few notes, because overlapping notes add up by their
// phases.
//   settings  without loop
//   sound     its output is not opened; the rate is the one wanted there
//   progress  share done, 0..1; may be empty
// Errors: the SoundFont or the synthesizer.
Result<LoudnessMeter> live_loudness(const std::shared_ptr<const Rendition>& rendition,
                                    const PlayerSettings& settings, const LiveSound& sound,
                                    const std::function<void(double)>& progress);

}  // namespace arsis
