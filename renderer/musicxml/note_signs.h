// What is attached to a single note's element: its marks, slurs, ties, grace, loudness.
#pragma once

#include <optional>
#include <pugixml.hpp>
#include <vector>

#include "musicxml/page.h"

namespace arsis {

// Articulations, fermatas, arpeggios and, where `dynamics` stand in the notations, what of them is
// a mark over the note. A portato may be written as `detached-legato`. Source of the names:
// MusicXML 4.0, elements `articulations`, `fermata`, `arpeggiate`.
MarkSet marks_of(pugi::xml_node note);
bool has_caesura(pugi::xml_node note);

// The attribute `number` of a hairpin, dashes or a slur, 1 to 16. MusicXML 4.0, number-level.
int number_of(pugi::xml_node node);

std::vector<PageSlur> slurs_of(pugi::xml_node note);

// By `tie`, which sounds, and `tied`, which is drawn: either will do, as exports forget one.
void read_ties(pugi::xml_node note, PageNote& made);

// Of a grace note's element `grace`; percentages beyond 0 to 100 are passed over.
GraceTime grace_time_of(pugi::xml_node grace);

// The attribute `dynamics`, percent of forte (velocity 90). MusicXML 4.0, element `note`.
std::optional<double> loudness_of(pugi::xml_attribute percent);

}  // namespace arsis
