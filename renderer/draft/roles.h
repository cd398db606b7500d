// Which part of a score is the melody, which accompanies it, which is the bass: by register, by
// whether it goes note by note, by how much of the piece it plays, by its name.
#pragma once

#include <string>
#include <vector>

#include "plan/plan.h"
#include "score/score.h"

namespace arsis {

struct DraftedPart {
  PartPlan plan;      // track, channel, hand, role, and a name that tells it from all others
  std::string words;  // what speaks for the role: "highest for 97 % of the time"
};

// The parts that can be played shaped: whether any but percussion is there.
bool has_pitches(const Score& score);

// One for each of Score::parts, but at most 256, the most that a plan may have; the melody is among
// them. Exactly one is the melody; a bass is looked for among three parts or more. Percussion
// accompanies. Linear in notes, but for a logarithm.
//   Source: our choice of measures and weights. `score` has_pitches().
std::vector<DraftedPart> drafted_parts(const Score& score);

// The score with a single pitched part told apart into hands where it takes two
// (score/hands.h); else as it is.
Score with_drafted_hands(Score score);

}  // namespace arsis
