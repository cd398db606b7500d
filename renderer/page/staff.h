// The engraved staves of a page's systems: the measures that each shows, their excerpts engraved,
// and where the moments of the score lie in them.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <span>
#include <vector>

#include "base/units.h"
#include "page/engraver.h"
#include "page/engraving.h"
#include "page/system.h"
#include "plan/printed.h"
#include "score/score.h"

namespace arsis {

// Measures of Printed::measures, as played.
struct PlayedRange {
  std::size_t first = 0;
  std::size_t count = 0;
};

// Those in which the span lies: from the one that holds its beginning to the one that holds what is
// before its end. None where nothing is played there.
PlayedRange measures_in(const Printed& printed, Span span);

// The distance between the outer lines of a staff. Rastral sizes for piano music are about 6 to 7
// mm (common practice, no source); ours is smaller, since three systems share a page with their
// curves, and smaller still where there are more staves than a piano has.
Millimetres staff_height(const Score& score);

struct StaffPlace {
  Span span;          // of the system
  PlayedRange shown;  // measures_in() it
  Millimetres width;  // that it may take; one that does not fit is drawn smaller
};

// What stands in front of and behind the span, in measures that it shares with other systems, is
// dimmed (class `beyond`). The waypoints lead from the span's beginning to its end over each moment
// at which a note begins in it: there x is the middle of the note's head, of a chord's and of
// several voices' the one that most have. It hangs in the margin as far as it may.
NoteField staff_field(const Engraving& engraving, const Score& score, const Printed& printed,
                      const StaffPlace& place);

struct StaffSource {
  std::filesystem::path file;  // the score's, MusicXML
  const Score& score;          // read from it
  const Printed& printed;
  Engraver engraver;
};

// The staves of the systems, all engraved in one process; none for a system without measures, or
// that the library cannot read: a warning counts those. `room` is as FieldSource has it. Errors: of
// ExcerptWriter and engrave().
Result<std::vector<std::optional<NoteField>>> staff_fields(const StaffSource& source,
                                                           std::span<const System> systems,
                                                           Millimetres room);

}  // namespace arsis
