// The click: a metronome that bends with the performance, as a part of the score.
#pragma once

#include <span>

#include "score/performance.h"
#include "score/score.h"

namespace arsis {

struct ClickStretch {
  Span span;
  Beats downbeat;  // where beat 1 of its bars falls, or would fall
  TimeSignature signature;
};

// Adds a part "click", the last, on a track of its own: a note on every counted beat of the
// stretches, at the performance's time. On channel 10, woodblocks of General MIDI's percussion (GM
// 1 sound set): high (key 76) on the first beat of a bar, low (77) on the others. Nothing is added
// where there are no stretches, and after a million clicks. Stretches come in order of time.
void add_click(Score& score, Performance& performance, std::span<const ClickStretch> stretches);

}  // namespace arsis
