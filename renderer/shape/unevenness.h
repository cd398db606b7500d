// The small unevenness of a hand, for those who ask for it with a seed. Repeatable: a note's share
// depends on the seed and its place in the score alone.
#pragma once

#include <cstdint>
#include <vector>

#include "plan/tuning.h"
#include "score/performance.h"
#include "shape/note_levels.h"

namespace arsis {

// Softens each note by the size of a normal deviate (never over its level, so that a ceiling stays
// one).
void apply_uneven_levels(std::vector<NoteLevel>& levels, std::uint64_t seed, const Tuning& tuning);

// Shifts each onset by a normal deviate of at most 2.5 standard deviations and a quarter of the
// note; never before 0.
void apply_uneven_onsets(std::vector<PerformedNote>& notes, std::uint64_t seed,
                         const Tuning& tuning);

}  // namespace arsis
