// Which played note is which note of the score: the basis of everything that is said of a take.
// Pure functions over a score and a take.
#pragma once

#include <cstdint>
#include <utility>
#include <vector>

#include "base/units.h"
#include "score/score.h"
#include "score/time_map.h"
#include "take/played.h"

namespace arsis {

struct NotePair {
  std::uint32_t score = 0;   // index into Score::notes
  std::uint32_t played = 0;  // index into Take::notes

  friend auto operator<=>(const NotePair&, const NotePair&) = default;
};

// A stretch of the score played through without a jump.
struct PlayedStretch {
  Span score;                      // from its first moment to behind its last
  std::uint32_t first_played = 0;  // indices into Take::notes, [first, end)
  std::uint32_t end_played = 0;
  // When a beat of the score sounded; rises in both, not empty. Between two knots the tempo is
  // even.
  std::vector<TimeMap::Knot> curve;
  // What of it had been played in stretches before: a restart, or a repeat that the score does not
  // write out; nothing where begin == end.
  Span again;
};

// Every played note is in one of pairs, earlier, wrong and extra; every written one in one of
// pairs, wrong, missing, doubled and omitted.
struct Alignment {
  // One to one, by score note. What was played again counts as it was played last.
  std::vector<NotePair> pairs;
  std::vector<NotePair> earlier;         // notes played before the same was played again
  std::vector<NotePair> wrong;           // struck at a written note's time, with another key
  std::vector<std::uint32_t> missing;    // of the stretches and parts that were played
  std::vector<std::uint32_t> doubled;    // written twice (in two parts), and struck once
  std::vector<std::uint32_t> omitted;    // outside the stretches, or of hands that were not played
  std::vector<std::uint32_t> extra;      // played notes that stand for nothing written
  std::vector<PlayedStretch> stretches;  // in the order of playing
  std::vector<bool> parts;               // which of Score::parts were played
  // How much of take and score agree, 0..1: the F measure of the notes played and of those written
  // where it was played, less what jumps find by chance.
  double fit = 0.0;

  // Below this it is a take of something else. Measured (tests/take): 0.79 and more where three
  // notes in ten are dropped, wrong or added, 0.64 where it is six; 0.34 and less for other pieces.
  static constexpr double kSamePiece = 0.5;
  bool is_same_piece() const { return fit >= kSamePiece; }
};

// Aligns a take to the score. All its parts are looked for; where little of one is found, each
// part alone too, and what fits best is taken; of a score in one part the notes in the take's
// compass. Robust to wrong, missing and added notes, to any
// tempo between half and double and its changes, to chords spread and hands apart by up to 150 ms,
// to ornaments (their notes are extra), and to passages left out or played again. An empty take
// aligns to nothing. Takes time in proportion to the notes.
Alignment align(const Score& score, const Take& take);

// The alignment's pairs as [score note, played note], both numbered from 0 by (onset tick, key),
// notes of one tick and key by part; by the first number.
std::vector<std::pair<std::uint32_t, std::uint32_t>> numbered_pairs(const Score& score,
                                                                    const Alignment& alignment);

}  // namespace arsis
