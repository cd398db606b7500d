// A published way to group melodies, to hold ours against.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "draft/boundary_models.h"

namespace arsis::test {

// 600 |log2(notes / preferred)|: what a phrase of so many notes costs, at least 1 note.
// Source: Temperley 2001, The Cognition of Basic Musical Structures, chapter 3; the authors'
// program "grouper" (2000), which prefers 10 notes where its comment says 8.
double length_penalty(int notes, double preferred = 10.0);

// What a phrase costs that begins elsewhere in its metrical period than the one before: 0 at the
// same place, 150 half a period off, else 300. `shift` is a ratio to the period. Source: the same.
double phase_penalty(double shift);

// The notes that begin a phrase, the first included: the phrases of fewer than 20 notes that
// maximise the sum of (half the gap before + half the gap after - length penalty - phase penalty)
// times the square root of their notes. Gaps at the ends of the piece count 0. Source: the same.
//   period   of the metrical level above the bar; what the program calls level 4
std::vector<std::size_t> grouper_phrases(std::span<const MelodyNote> line, Beats period);

}  // namespace arsis::test
