// What drafting begins with and what it finds: the piece as it was read, and its blocks.
#pragma once

#include <cstdint>
#include <vector>

#include "plan/binding.h"
#include "plan/printed.h"
#include "score/score.h"

namespace arsis {

// All outlive it.
struct Material {
  const Score& score;
  // Without blocks: parts with their roles, the dynamics and marks in force, the melody.
  const BoundPlan& bound;
  const Printed& printed;
};

// The even cell and where the first one starts, as `motif:` in a plan has them.
struct Cell {
  Beats length;
  Beats from;
};

// Blocks in order; each level meets end to end.
struct Structure {
  Cell cell;
  std::vector<Span> motifs;
  std::vector<std::uint32_t> phrases;    // of each the index of its first motif
  std::vector<std::uint32_t> sentences;  // of each the index of its first phrase
};

}  // namespace arsis
