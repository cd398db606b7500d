// The melody sung: what a struck string cannot do, the growth between two notes, made audible on a
// sustaining voice.
#pragma once

#include <cstdint>

#include "plan/binding.h"
#include "score/performance.h"
#include "score/score.h"
#include "shape/layers.h"

namespace arsis {

// Programs of the General MIDI 1 sound set that hold a tone, from 0.
inline constexpr std::uint8_t kChoirProgram = 52;    // "Choir Aahs"
inline constexpr std::uint8_t kStringsProgram = 48;  // "String Ensemble 1"

// How far a voice bends from the key it holds, in semitones; set by registered parameter 0
// (MIDI 1.0, pitch bend sensitivity). A step of the bend is 0.3 cents then.
inline constexpr int kBendRange = 24;

struct Sung {
  Score score;              // one track; two parts "voice" that sing in turn, so that one may die
                            // away unbent while the other begins
  Performance performance;  // of it, in the time of the whole performance
};

// The line that blocks lead along (BoundPlan::melody), as far as its notes begin in `span`. The
// notes of a motif are one tone, unless there is a rest or a staccato between them, a note is
// repeated, or they lie more than the bend's range apart.
//   pitch  glides into each note along the rise of an arc and arrives with its onset, in 120 ms
//          or 0.4 of the interval between the onsets, whichever is shorter (our choice)
//   level  follows the model at every moment, not only at onsets: ceiling less arcs, held down in a
//          diminuendo, less the part's balance, plus a written accent that fades over its note.
//          Velocity is that of the tone's loudest moment; expression (controller 11) takes from
//          it by the same law, in steps of about 12 ms. Neither ever passes the model's level.
//   end    where the performance ends the tone's last note: at its breath
// Bar lines, tempo, time and key signatures are the score's. How many notes and messages there are,
// and at which beats, does not depend on the layers.
// Source of the law of controller 11: General MIDI 2 and SoundFont 2.04 section 8.4.6, the same
// 40 log10(v / 127) as of velocity.
Sung sing(const Score& score, const BoundPlan& plan, const Layers& layers, Span span,
          std::uint8_t program);

}  // namespace arsis
