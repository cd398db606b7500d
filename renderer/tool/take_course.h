// A take as curves over the score's time, to be drawn over the plan's.
#pragma once

#include "page/picture.h"
#include "tool/take_file.h"

namespace arsis {

// Its levels by the law, note by note, and its tempo beat by beat, as a share of its own middle
// tempo: a slow take is drawn as high as a quick one, and its name tells how slow. What was played
// again is drawn as it was played last, what was not played not at all.
Course course_of_take(const Loaded& loaded, const AlignedTake& take);

}  // namespace arsis
