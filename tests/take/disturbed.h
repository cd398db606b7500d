// Takes whose pairs are known: performances of our own scores, disturbed as hands do it.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "score/performance.h"
#include "score/score.h"
#include "take/alignment.h"
#include "take/played.h"

namespace arsis::test {

// The player goes from one beat of the score to another, after a pause.
struct Leap {
  Beats from;
  Beats to;
  Seconds pause;
};

// What is done to a performance, in this order.
struct Disturbance {
  std::vector<int> parts = {};   // indices of those that play; empty: all
  std::vector<Leap> leaps = {};  // in the order of playing
  double trilled = 0.0;          // share of the notes of a beat and more
  double tempo = 1.0;            // ratio: the speed
  double rubato = 0.0;           // ratio: the most that tempo sways, over some seconds
  Seconds noise{0.0};            // standard deviation of each onset
  Seconds spread{0.0};           // each note of a chord comes up to this much late
  double dropped = 0.0, wrong = 0.0, added = 0.0;  // shares of the notes
  std::uint64_t seed = 1;
};

struct KnownTake {
  Take take;
  std::vector<NotePair> pairs;    // by score note; of what was played again, as it was played last
  std::vector<NotePair> earlier;  // sorted
};

KnownTake disturbed(const Score& score, const std::vector<PerformedNote>& played,
                    const Disturbance& how);

// The score as its own tempos have it, without expression.
std::vector<PerformedNote> played_plainly(const Score& score);

// Piano music in 4/4 at 100 quarter notes a minute: a melody of eighths, quarters and runs of
// sixteenths with some chords, over broken chords, octaves and chords by turns. Every fourth bar
// is the first of its group again, and all of it is as the seed has it.
Score piano_score(int bars, std::uint64_t seed);

struct Agreement {
  double precision = 0.0, recall = 0.0, f1 = 0.0;  // ratios, 0..1
};
Agreement agreement(std::size_t correct, std::size_t found, std::size_t known);
// Both sorted.
Agreement agreement(const std::vector<NotePair>& found, const std::vector<NotePair>& known);

}  // namespace arsis::test
