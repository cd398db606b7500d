// Drafting a structure: which cells make a phrase, which phrases a sentence, over the whole piece.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "draft/structure.h"

namespace arsis {

struct StructureWishes {
  std::optional<Cell> cell;  // what the player already knows; none: it is looked for
  std::size_t count = 1;     // how many structures are wanted, 1..kMostStructures
};
inline constexpr std::size_t kMostStructures = 20;

struct ScoredStructure {
  Structure structure;
  // Ratio, in the units of GroupingWeights: higher is better. Comparable within one piece and cell
  // length only.
  double total = 0.0;
  std::string cell_words;  // what speaks for the cell; empty where the player gave it
  // Of each phrase what speaks for its beginning, in a musician's words: "rest before it, same
  // rhythm as 1:1". Never empty.
  std::vector<std::string> phrase_words;
  // Of an alternative what speaks for it where it differs from the first one: "begins a sentence at
  // 9:3 (rest before it)"; at most four places. Empty for the first.
  std::vector<std::string> instead;
};

// The best structures, no two alike, the best first. Every note from the first one on lies in a
// block, unless a wished cell begins later. Exact for each place in the bar where the cell may lie.
// Empty where there is no melody, or where the wished cell begins after the last note.
std::vector<ScoredStructure> structures(const Material& material, const StructureWishes& wishes);

}  // namespace arsis
