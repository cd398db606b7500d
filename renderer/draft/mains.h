// Choosing mains: of each phrase its main motif, of each sentence its main phrase, of the piece,
// where the evidence is clear, its main sentence.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "draft/evidence.h"
#include "draft/structure.h"

namespace arsis {

struct Choice {
  std::size_t main = 0;               // index among the block's members
  std::vector<Candidate> candidates;  // one for each member
  // By how much the evidence for the main leads over that for the best other one; below 0 where the
  // pattern has decided against it. 0 for a member alone.
  double margin = 0.0;
  bool doubtful = false;    // the margin lies under kDoubt; never of a member alone
  bool by_pattern = false;  // the block's own evidence would have chosen another
};

struct Mains {
  std::vector<Choice> phrases;
  std::vector<Choice> sentences;
  std::optional<Choice> piece;
};

// The blocks that a plan already has, its mains left aside; the cell is the first motif's. The plan
// has a sentence at least.
Structure structure_of(const BoundPlan& plan);

// The evidence is weighed at each level by itself, then the pattern is chosen over all blocks of
// the level at once (pattern.h). `structure` is in order: every phrase has a motif, every sentence
// a phrase. Time and memory grow with notes and motifs.
Mains choose_mains(const Material& material, const Structure& structure);

// The same, on a surface that is there already.
Mains choose_mains(const Surface& surface, const Structure& structure);

}  // namespace arsis
