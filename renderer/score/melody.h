// The line that a listener follows in a part: its top notes, led from voice to voice.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "score/score.h"

namespace arsis {

// Indices of the notes that make the top line of the parts for which `in_part` is true, by onset,
// one note a moment.
//   - Of notes that start together the highest; never a grace note.
//   - Not a note that starts under a higher one still sounding: that is an inner voice. Notes that
//     merely overlap, by less than a quarter of the higher note's length, are a legato, not voices.
//   - Not a note more than an octave under both neighbours of the line: that is an accompaniment
//     showing through a rest or a long note's end.
// Source: the first two are the usual skyline rule with its usual repair; the octave is our choice.
std::vector<std::size_t> melody_line(const Score& score, const std::vector<bool>& in_part);

}  // namespace arsis
