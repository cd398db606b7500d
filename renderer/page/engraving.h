// What the engraving library has drawn, read and made fit for our pages: only shapes, text and the
// places of notes and measures are taken over.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "base/units.h"

namespace arsis {

// The library's unit: 180 of them are the space between two lines of a staff.
using EngravedUnits = Quantity<struct EngravedUnit>;
inline constexpr EngravedUnits kStaffSpace{180.0};

struct EngravedNote {
  std::size_t measure = 0;  // from 0, as they stand
  std::string id;           // as the page knows it
  EngravedUnits x;          // the middle of its head
  EngravedUnits y;
  bool small = false;  // a grace note or a cue
};

struct EngravedMeasure {
  EngravedUnits begin;    // of its staff lines
  EngravedUnits music;    // where clef and signatures end, if it begins with any
  EngravedUnits content;  // where its first note or rest stands, or would
  EngravedUnits end;
};

struct Engraving {
  EngravedUnits width;
  EngravedUnits height;
  // Elements of SVG in the library's unit: the glyphs, with ids that begin with the prefix, and the
  // drawing that uses them. Notes are <g class="engraved" data-id="...">. No style sheet, no other
  // ids or classes, no links to elsewhere, nothing but shapes and text.
  std::string glyphs;
  std::string drawing;
  std::vector<EngravedNote> notes;
  std::vector<EngravedMeasure> measures;
};

struct EngravedId {
  std::size_t measure = 0;
  std::string id;
};

// What the id of a note in the engraving means; none where it is not one of ours.
using EngravedIds = std::function<std::optional<EngravedId>(std::string_view)>;

// `svg` is one system on one page. Errors: it is no XML, or not what the library draws.
Result<Engraving> read_engraving(std::string_view svg, const std::string& prefix,
                                 const EngravedIds& ids);

}  // namespace arsis
