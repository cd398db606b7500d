// The evidence for each choice of a plan, in the words of a draft.
#pragma once

#include <vector>

#include "draft/structure.h"
#include "page/picture.h"

namespace arsis {

// What the score speaks for, phrase by phrase and sentence by sentence; where the plan has chosen
// another member than the evidence would, it says so. None of blocks with a single member, and none
// where the plan has no blocks.
std::vector<Remark> evidence_remarks(const Material& material);

}  // namespace arsis
