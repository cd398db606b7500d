// A whole draft: of a score its parts, its structure, the leading members, and what speaks for
// them; as a plan.
#pragma once

#include <optional>
#include <vector>

#include "draft/grouping.h"
#include "draft/landing.h"
#include "draft/mains.h"
#include "draft/roles.h"

namespace arsis {

struct Draft {
  Score score;      // its hands told apart
  BoundPlan bound;  // parts, dynamics, marks, melody; no blocks
  std::vector<DraftedPart> parts;
  std::vector<ScoredStructure> structures;  // the best first; at least one
  Mains mains;                              // of the best one
  std::vector<Landing> landings;            // of its motifs
  Plan plan;                                // of the best one, with its mains
  std::vector<Plan> others;                 // of the other structures, in order, with theirs
};

// None where there is nothing to draft: no part but percussion, or no structure to be found. A
// score with a page (`has_page`) keeps its parts: its staves tell the hands apart.
// Time and memory grow with notes.
std::optional<Draft> draft_of(Score score, const Printed& printed, bool has_page,
                              const StructureWishes& wishes);

// The plan with those mains; blocks and mains are those of one structure.
Plan with_mains(Plan plan, const Mains& mains);

}  // namespace arsis
