// When each note begins and ends: lead, legato, breath, staccato and its kin, repeated keys.
#pragma once

#include <vector>

#include "plan/binding.h"
#include "score/performance.h"
#include "shape/layers.h"

namespace arsis {

// Delays what accompanies a melody note by the melody's lead, so that the melody stays on its beat.
// `notes` have their velocities and their onsets at the score's moments. Only with the touch on.
void apply_lead(std::vector<PerformedNote>& notes, const Score& score, const BoundPlan& plan);

// Rolls the chords that have an arpeggio, in each part from the lowest note up: the lowest stays on
// its beat, the others follow by the tuning's step, all within its longest roll and a third of the
// shortest of the chord's notes. After the lead, and only with the touch on.
void apply_arpeggios(std::vector<PerformedNote>& notes, const Score& score, const BoundPlan& plan);

// Sets the end of every note; `notes` have their onsets.
//   its end         where it is written to end, or at the next onset of its part where no more than
//                   the tuning's slack lies between
//   without marks   joined to the next note of its part inside a motif (legato overlap); as written
//                   where no note follows at once
//   repeated key    released before it strikes again: it sounds the tuning's `repeat` share
//   block's end     gives up its end to the breath of the largest level that closes there
//   staccato ...    the mark's share of the written length
//   tenuto          its full length, through repeats and breaths
//   breath mark     its gap, where the note ends at the mark
// With the touch off a note lasts as long as written, less the breath.
void apply_articulation(std::vector<PerformedNote>& notes, const Score& score,
                        const BoundPlan& plan, const TimeMap& time, const Layers& layers);

// The last word on keys: of one key and channel no two notes overlap. Notes of one key that start
// together (in the score, whatever leads between them, or within 5 ms: hands meeting on a key)
// sound as one, as loud and as long as the more so of them; any other ends before the next begins.
// What does not sound already has no say.
void part_keys(std::vector<PerformedNote>& notes, const Score& score);

}  // namespace arsis
