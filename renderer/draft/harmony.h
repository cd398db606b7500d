// What sounds at every moment of a score, how tense it is in the key of its place, and where the
// melody rubs against it.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "draft/consonance.h"
#include "draft/key_finding.h"
#include "draft/suspension.h"
#include "score/score.h"

namespace arsis {

// Whether a note is of the harmony: not percussion, no ornament.
inline bool makes_harmony(const Score& score, const Note& note) {
  return !note.grace && is_pitched(score.parts[note.part]);
}

// From one moment at which a note begins to the next.
struct ChordMoment {
  Beats at;
  PitchSet sounding = 0;
  std::uint8_t bass = 60;  // the lowest key
  double tension = 0.0;    // 0..1
  double load = 0.0;       // what it counts: length in felt beats, more on strong places
};

// A dissonance of the melody on a felt beat that resolves by step.
struct MelodicDissonance {
  Beats at;             // where it clashes
  double weight = 0.0;  // metrical_weight() of that place
  std::uint8_t key = 60;
  Dissonance dissonance;
};

struct Harmony {
  std::vector<Tonality> keys;                  // one for each bar
  std::vector<ChordMoment> moments;            // by time
  std::vector<MelodicDissonance> dissonances;  // by time
};

// The key of each bar: best_key() of four bars, two before it and one after, at the ends of the
// score the first or last four; a key signature in force counts as a fit 0.1 better for its two
// keys, and the key of the bar before is kept unless another fits better by 0.05. Both are our
// choice: windows that short have narrow margins.
std::vector<Tonality> local_keys(const Score& score);

// Of all parts but percussion, without grace notes. The notes of broken chords ring to the end of
// their felt beat unless a note within a tone or a chord follows. `melody`: notes of the line, by
// onset.
// A moment's tension is half the mean instability of what sounds (a quarter, where one pitch class
// sounds alone) and half the tension of the chord. Our choice.
Harmony harmony_of(const Score& score, std::span<const std::size_t> melody);

}  // namespace arsis
