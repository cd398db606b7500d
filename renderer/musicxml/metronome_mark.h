// A printed metronome mark: so many of a note value a minute, or one note value as long as another
// before.
#pragma once

#include <optional>
#include <pugixml.hpp>

#include "musicxml/page.h"

namespace arsis {

// An element `metronome` as a tempo, without its place; none where it gives no tempo that anybody
// plays. Source: MusicXML 4.0, elements `metronome`, `beat-unit`, `per-minute`.
std::optional<PageTempo> metronome_mark(pugi::xml_node metronome);

// Quarter notes a minute, from slower to faster than anybody plays: 4 to 2,000.
bool is_playable(double quarters_a_minute);

}  // namespace arsis
