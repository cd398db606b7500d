// What the page prints beside its notes, laid on the score that was played of it.
#pragma once

#include <vector>

#include "musicxml/played.h"
#include "musicxml/printed_dynamics.h"
#include "plan/printed.h"

namespace arsis {

// Everything that was played, in its final order.
struct PlayedPage {
  const Page& page;
  std::vector<PlayedPageNote> notes;
  std::vector<PlayedSlur> slurs;
  std::vector<PrintedFermata> fermatas;
  std::vector<PlayedSign> signs;    // by time
  std::vector<StaffParts> staves;   // of each part of the page
  std::vector<std::uint32_t> kept;  // for each serial number the index of the note that has it now
  std::size_t part_count = 0;       // of the score
  Ticks end = 0;
};

// sf and fp are marks of the notes that begin where they stand, in the staves that they hold for. A
// slur whose notes all have dots is a portato (common practice, no source). A caesura is a breath
// of the whole instrument, a breath mark of its staff.
Printed printed_page(PlayedPage& played, const std::string& file);

}  // namespace arsis
