// A reading kept: the plan's own text says it from now on.
#pragma once

#include <string>

#include "base/diagnostic.h"
#include "plan/readings.h"

namespace arsis {

// Writes into the plan's file that this member leads the block; remarks and layout stay, and
// nothing else changes. The file is read anew, so that what was written to it meanwhile stays, too.
//
// In a sentence that others are `like:` they go on being like it. One that is itself like another
// becomes its own (plan_edit.h): its phrases are written out where `like:` stood.
//
//   result  where the file says it now: the line of the block, or of the `main:` of the piece
// Errors: the file cannot be read or written or is a plan no more, or has no such block any more;
// its text does not let the main be changed (the long form), with the place.
Result<Where> keep_reading(const std::string& plan, const LedBlock& block, const Reading& reading);

}  // namespace arsis
