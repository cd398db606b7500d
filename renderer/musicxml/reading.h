// Where the reading of a part stands: what the readers of measures, notes and directions share.
#pragma once

#include <map>
#include <optional>
#include <pugixml.hpp>
#include <string>
#include <utility>
#include <vector>

#include "musicxml/doubts.h"
#include "musicxml/page.h"
#include "musicxml/xml_document.h"

namespace arsis {

inline constexpr int kMostDivisions = 1'000'000;  // of a quarter note
inline constexpr std::size_t kMostPageSigns = 1'000'000;

// A hairpin or a word with dashes whose end has not come yet.
struct OpenStretch {
  std::size_t measure = 0;
  std::size_t index = 0;  // in the measure's signs of this part, or in its tempos
  bool is_tempo = false;
};

// Open stretches by their number and the staff that the file names. Files that do not tell staves
// apart use one number for both.
class OpenStretches {
 public:
  using Key = std::pair<int, int>;
  void open(Key key, OpenStretch stretch) { open_[key].push_back(stretch); }
  // Those of the key; where there are none, those of its number at any staff.
  std::vector<OpenStretch> close(Key key);
  void forget(Key key) { open_.erase(key); }

 private:
  std::map<Key, std::vector<OpenStretch>> open_;
};

// All that it refers to outlives it.
struct MeasureReading {
  const XmlDocument& document;
  Page& page;
  std::size_t part;
  Doubts& doubts;
  std::size_t& signs;  // and tempos, of all measures and parts that were read before
  PageMeasure* measure = nullptr;
  std::optional<int> divisions = {};  // of a quarter note, as the file last said
  Ticks cursor = 0;                   // from the measure's beginning
  TimeSignature signature = {};       // in force
  int codas = 0;                      // signs of it so far
  std::size_t index = 0;              // of the measure
  OpenStretches hairpins = {};
  OpenStretches dashes = {};

  PartMeasure& here() const { return measure->parts[part]; }
  // Whether there are more signs than any score has: they take more memory than their elements.
  bool is_full() const {
    return signs + here().signs.size() + measure->tempos.size() >= kMostPageSigns;
  }
  Place place(pugi::xml_node node) const {
    const Where where = document.where(node);
    return {where.line, where.column};
  }
  void doubt(pugi::xml_node node, const std::string& problem, const std::string& remedy) const {
    doubts.add(document.where(node), problem, remedy);
  }
};

// The ticks of an element `duration`; 0 where it is none or no number of 0 or more. No more than
// any note lasts.
Ticks ticks_of(pugi::xml_node duration, MeasureReading& reading);

}  // namespace arsis
