// The dynamics and hairpins of a page, as they are played, settled so that none contradicts another
// of its own rank.
#pragma once

#include <vector>

#include "musicxml/played.h"
#include "plan/printed.h"

namespace arsis {

// Which of Score::parts each staff of a page's part is; none for a staff without notes.
using StaffParts = std::vector<std::optional<std::uint16_t>>;

// `signs` are those of one part of the page, by time; `end` is the score's.
//   - A hairpin (or "cresc.") without a printed end goes to the next dynamic or hairpin that holds
//     where it does, eight bars of 4/4 at most.
//   - Two marks at one moment: once if they agree; each for the staff it stands at if they stand at
//     two; else the later in the file.
//   - A mark under a hairpin's first quarter is what it leaves from; any later one ends it there,
//     and where half of it or more is left the rest goes on from the mark.
//   - A hairpin that begins under another ends it.
// Common practice, no source.
std::vector<PrintedDynamic> printed_dynamics(const std::vector<PlayedSign>& signs,
                                             const StaffParts& staves, std::size_t part_count,
                                             int division, Ticks end);

}  // namespace arsis
