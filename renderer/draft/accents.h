// Accents that a line has by its own course: by length and by turns of its contour.
#pragma once

#include <span>
#include <vector>

#include "base/units.h"

namespace arsis {

// How much a note stands out by the time until the next, 0..1: (1 - e^(-d / 0.5 s))^2.
// Source: Parncutt 1994, Music Perception 11:409-464, durational accent.
double durational_accent(Seconds interval);

// How much each note of a line stands out by the way the line turns, 0..1; keys are MIDI note
// numbers. The first note has 1; the second of a line of two 0, since no turn tells of it.
// Source: Thomassen 1982, JASA 71:1596-1605, erratum 73:373.
std::vector<double> melodic_accents(std::span<const int> keys);

}  // namespace arsis
