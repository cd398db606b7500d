// Two hands in one track: which notes are the right hand's, by register and voice-leading.
#pragma once

#include <cstddef>
#include <vector>

#include "score/score.h"

namespace arsis {

// Whether one hand alone could not play the part: in a tenth of its moments, four at least, more
// sounds than five fingers or a tenth hold. Never of percussion. `part` is an index into
// Score::parts.
bool needs_two_hands(const Score& score, std::size_t part);

// For each of Score::notes whether it is the right hand's, of a part that both hands play; false
// for notes of other parts. The keyboard is parted by a line that the whole piece is asked for at
// once (Viterbi over the keys, exact within stretches of 50,000 moments): at each moment what
// sounds below the line should lie under one hand, so should what sounds above it, chords that lie
// close should not be torn, and the line should move little. So both hands may wander over the
// keyboard. Transposing the part changes nothing. Linear in notes.
//   Source: our choice, all of it; a tenth is what a grown hand spans.
std::vector<bool> right_hand_notes(const Score& score, std::size_t part);

// The score with each part that `parts` names (one for each of Score::parts) told apart into right
// and left hand, two parts of the same track and channel. A hand without notes makes no part. Notes
// are in order again, so that their places may be others than before.
Score with_hands(Score score, const std::vector<bool>& parts);

}  // namespace arsis
