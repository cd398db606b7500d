// The tempo that a page asks for, by marks and by words, as a MIDI file's tempo changes.
#pragma once

#include <vector>

#include "musicxml/played.h"
#include "score/tempo_map.h"

namespace arsis {

// `tempos` as they are played, in any order; `end` is that of the score. Of several at one moment
// an element `sound` counts, else the one that gives a number.
//   rit. and its kin   in even steps, one each eighth note, over the stretch that their dashes
//                      mark, or else to the next tempo; two bars where none follows, after which
//                      the tempo is as before; to the end where it is no farther than that
//   meno mosso ...     at once, until the next tempo
//   a tempo            the tempo that was last given by a mark; tempo primo: the first one
//   where it goes back  with a repeat or a jump: as it was when the passage was played at first
//   Andante ...        so many beats of the signature: a dotted quarter note in 6/8, 9/8, 12/8
// Common practice, no source; the numbers of the words are our choice (printed_words.cc).
std::vector<TempoChange> written_tempo(std::vector<PlayedTempo> tempos, int division, Ticks end);

}  // namespace arsis
