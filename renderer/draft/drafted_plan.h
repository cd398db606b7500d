// A drafted structure as a plan, ready to be bound or written.
#pragma once

#include "draft/structure.h"
#include "plan/plan.h"

namespace arsis {

// Title, score, parts with their roles, cell and sentences. Motifs that follow the even cell are
// even ones; the rest say where they end (`to:`), and a motif in which the melody is silent says
// its goal, so that binding finds nothing to question in them. Mains are left at the first member
// of each block: they are chosen elsewhere. Places are all 0, since no file says this.
//   structure   not empty, of this material
Plan plan_of(const Structure& structure, const Material& material);

}  // namespace arsis
