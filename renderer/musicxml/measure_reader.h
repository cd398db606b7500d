// Reads the measures of one part, one after another: what the cursor, the divisions and the
// transposition are carries over.
#pragma once

#include <map>
#include <optional>
#include <pugixml.hpp>
#include <string>
#include <vector>

#include "musicxml/reading.h"

namespace arsis {

class MeasureReader {
 public:
  // All outlive it. `signs` counts those of all parts. Fills Page::measures[...].parts[part], and
  // what holds for all parts where it stands in this one.
  MeasureReader(const XmlDocument& document, Page& page, std::size_t part, Doubts& doubts,
                std::size_t& signs);

  void read(pugi::xml_node measure, std::size_t index);

 private:
  void read_number(pugi::xml_node measure);
  void read_child(pugi::xml_node node);
  void read_attributes(pugi::xml_node attributes);
  void read_transpose(pugi::xml_node transpose);
  void read_time(pugi::xml_node time);
  void read_note(pugi::xml_node node);
  PageNote note_of(pugi::xml_node node);
  void read_notations(pugi::xml_node node, const PageNote& note);
  void add(PageNote note, bool chord);
  void place_graces(Ticks principal, Ticks length);
  std::optional<int> key_of(pugi::xml_node note, int staff);
  void read_barline(pugi::xml_node barline);
  void read_ending(pugi::xml_node ending);
  void move(Ticks by, pugi::xml_node node);

  MeasureReading reading_;
  PageMeasure* measure_ = nullptr;
  std::map<int, int> transposed_;  // by staff, 0: all others; semitones from written to sounding
  Ticks last_onset_ = 0;           // of the note that a chord goes on from
  Ticks last_length_ = 0;          // likewise
  MarkSet last_marks_;             // likewise
  int last_voice_ = 1;             // likewise
  std::vector<std::vector<PageNote>> graces_;  // that wait for their principal note, by chord
  std::vector<int> endings_;                   // the volta that is open
  bool closes_ending_ = false;                 // with this measure
  std::size_t elements_ = 0;                   // notes so far, for the ids that are made
};

}  // namespace arsis
