// Systems: the lines of a page, as of a poem. Each holds whole phrases.
#pragma once

#include <vector>

#include "base/units.h"
#include "page/picture.h"

namespace arsis {

struct System {
  Span span;
  Millimetres width;  // of its music on a straight axis
};

// The stretch of the passage that can be drawn: from the first to the last moment that notes or
// blocks take up. Empty where there are none.
Span drawn_span(const Picture& picture, Span passage);

// Cuts what can be drawn of the passage into systems whose music is at most `room` wide.
//   - A phrase is never cut; one too long for a line stands alone and is set tighter.
//   - A sentence begins a line where that leaves the lines well filled.
//   - What no phrase holds is cut at bar lines.
//   - All systems have one scale, the widest at which the usual line fits, so that the even motifs
//     stand under one another like the feet of a verse; short lines stay short, the few longer ones
//     are set tighter.
// The systems follow one another without gaps. Linear in phrases and bars.
std::vector<System> systems_of(const Picture& picture, Span passage, Millimetres room);

}  // namespace arsis
