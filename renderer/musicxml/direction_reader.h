// Reads what stands beside the notes: dynamics, hairpins, words, pedal, tempo, jumps.
#pragma once

#include <pugixml.hpp>

#include "musicxml/reading.h"

namespace arsis {

// An element `direction`, at the reading's cursor. Adds to the measure's signs and tempos.
//
// Staff: what stands between the staves of an instrument, or beside its only one, holds for all of
// it; what stands over the first or under the last of several, or at a lower one without a word on
// where, holds for that staff alone. Common practice, no source.
// Place: an `offset` moves hairpins, dashes and pedals; a dynamic only where it is an eighth note
// or more, or `sound` is "yes" (MusicXML 4.0, element `offset`); less is layout.
void read_direction(pugi::xml_node direction, MeasureReading& reading);

// An element `sound`, in a direction or in the measure itself, at the moment `at` where no offset
// of its own says otherwise.
void read_sound(pugi::xml_node sound, Ticks at, MeasureReading& reading);

// Where a sign stands, and the one staff that it holds for; 0: none is named, the whole instrument.
struct StaffScope {
  int stands_at = 0;
  int alone = 0;
};

// A coda sign of the measure: the first of the score says from where, the others to where.
void add_coda_sign(MeasureReading& reading);

// The element `dynamics` of a direction or of a note's notations.
void read_dynamics(pugi::xml_node dynamics, Ticks at, StaffScope scope, MeasureReading& reading);

// That a direction or a note's dynamics hold for alone; 0: the whole instrument. `staff` is 0 where
// none is named.
int staff_alone(const PagePart& part, int staff, std::string_view placement);

}  // namespace arsis
