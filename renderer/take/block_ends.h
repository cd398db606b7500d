// How a take leaves its phrases: the breath before the next one, and the time taken to close.
#pragma once

#include <optional>
#include <vector>

#include "plan/binding.h"
#include "score/score.h"
#include "take/heard.h"
#include "take/leads.h"

namespace arsis {

// Of a phrase and whatever closes with it.
struct BlockEnd {
  Verdict breath = Verdict::kCannotTell;  // as planned: a gap is heard; never otherwise
  // Silence between the key's release and the next note of the melody, less what is written, and
  // less what is usual inside the take's motifs; below 0: more joined than these.
  std::optional<Seconds> gap;
  bool under_pedal = false;                // the damper pedal holds the note: no gap can be heard
  Verdict closing = Verdict::kCannotTell;  // as planned: the last interval is heard to be longer;
                                           // never otherwise
  std::optional<double> slowing;  // its share over the sentence's tempo: 0.1 is a tenth longer
};

// One for each phrase. `paces`: of each sentence, as pace_of() has it.
std::vector<BlockEnd> hear_block_ends(const Score& score, const BoundPlan& plan, const Take& take,
                                      const Heard& heard,
                                      const std::vector<std::optional<double>>& paces);

}  // namespace arsis
