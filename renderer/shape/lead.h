// Melody lead: the louder melody sounds a little before what accompanies it.
#pragma once

#include "base/units.h"

namespace arsis {

// How long the hammer of a note of this velocity travels, from the key's touch to the string.
//   t = 89.16 h^-0.570 ms, h = 2^((v - 52) / 25) m/s
// Source: Goebl 2001, JASA 110(1); Goebl & Bresin 2003, JASA 114(4); both formulas from memory.
Seconds hammer_travel(Velocity velocity);

// How much the melody leads a note struck at the same moment: the difference of their travel times,
// because a pianist's keys go down together. 0 where the accompaniment is as loud or louder.
Seconds melody_lead(Velocity melody, Velocity accompaniment);

}  // namespace arsis
