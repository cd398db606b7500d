// Reads the printed page out of a MusicXML document (W3C MusicXML 4.0; 3.x and older are its
// subsets here).
#pragma once

#include "base/diagnostic.h"
#include "musicxml/page.h"
#include "musicxml/xml_document.h"

namespace arsis {

// Both forms, score-partwise and score-timewise. Read are notes (pitch, chord, duration, voice by
// backup and forward, ties, staff, grace), time and key signatures, transposition, tempo, repeats,
// endings and jumps. Cue notes are not played; ornaments are played plainly.
//
// What breaks the letter but is common in real exports is read with a warning: no `divisions`
// before the first note (1 is taken), a backup past the measure's beginning, a note without
// duration, parts of different lengths. Errors: no score, no part, no note.
Result<Page> read_page(const XmlDocument& document);

}  // namespace arsis
