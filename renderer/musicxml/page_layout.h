// Where the measures of each part stand in a MusicXML document, whichever form it has.
#pragma once

#include <cstddef>
#include <pugixml.hpp>
#include <string>
#include <vector>

namespace arsis {

inline constexpr std::size_t kMostParts = 100;
inline constexpr std::size_t kMostMeasures = 50'000;

// All `measure` elements of each part, in order; in a score by measures (timewise) the elements
// `part` within them.
struct Layout {
  std::vector<std::string> ids;                       // of parts
  std::vector<std::vector<pugi::xml_node>> measures;  // [part][measure]; may be null, or too few
  bool cut = false;                                   // there are more than are read
};

// `root` is the document's; of another kind than a score it has no parts.
Layout layout_of(pugi::xml_node root);

// The id of a note's element as PageNote has it: its own, else one made of the part (from 0) and
// its count among the part's elements `note` (from 1). Each pass of a note has it again.
std::string note_id_of(pugi::xml_node note, std::size_t part, std::size_t count);

}  // namespace arsis
