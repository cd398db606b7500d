// `arsis draft --mains PLAN`: a plan keeps its structure and everything else, and gets other mains.
#pragma once

#include "tool/draft_command.h"

namespace arsis {

// Writes or prints the plan's own text with the mains that the evidence speaks for, and tells each
// that changes, and each that could not be changed there.
int run_draft_mains(const DraftArgs& args);

}  // namespace arsis
