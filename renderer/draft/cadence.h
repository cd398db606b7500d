// Where the bass closes under the melody.
#pragma once

#include <span>
#include <vector>

#include "draft/boundary_models.h"
#include "score/score.h"

namespace arsis {

// For each note of the line how strongly the bass closes with it, ratio 0..1. It closes where all
// of this holds: from the note to the next it is at least `long_note` (half strength; whole from
// one and a half times that), the note falls on a strong beat (the downbeat, or the middle of a bar
// that can be halved), forms an octave, a third or a fifth with the lowest note sounding, and that
// one was reached
//   1    by a falling fifth or a rising fourth (or an octave from these),
//   0.4  by a step,
// from the lowest note of the half bar or of the whole bar before. The line alone has no bass: 0.
// Source: common practice, no source; a simple rule that can be explained.
std::vector<double> cadences(const Score& score, std::span<const LineNote> line, Beats long_note);

}  // namespace arsis
