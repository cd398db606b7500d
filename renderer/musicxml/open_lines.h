// Lines that span notes of a part (slurs, hairpins, octave lines, endings, ties): which of them are
// open at a moment, and how an excerpt that cuts them is made whole.
#pragma once

#include <map>
#include <pugixml.hpp>
#include <string>

namespace arsis {

// Elements of the page that have begun and not ended.
struct OpenLines {
  std::map<std::string, pugi::xml_node> slurs;       // `slur`, by number
  std::map<std::string, pugi::xml_node> directions;  // `direction` of a wedge or an octave-shift,
                                                     // by its name and number
  pugi::xml_node ending;

  // Follows the elements of a measure.
  void pass(pugi::xml_node measure);
};

// Makes a part of an excerpt whole.
//   part   its measures are copies, in order; at least one
//   open   what was open before the first of them
// A slur that was open begins at the first note of its voice, one that does not end ends at the
// last; hairpins and octave lines begin and end with the excerpt; what ends without having begun
// goes. An ending is closed with the last measure. A tie without its second note sounds on.
void close_lines(pugi::xml_node part, const OpenLines& open);

}  // namespace arsis
