// Reads the measures of one part, one after another: what the cursor, the divisions and the
// transposition are carries over.
#pragma once

#include <optional>
#include <pugixml.hpp>
#include <string>
#include <vector>

#include "musicxml/doubts.h"
#include "musicxml/page.h"
#include "musicxml/xml_document.h"

namespace arsis {

class MeasureReader {
 public:
  // All outlive it. Fills Page::measures[...].parts[part], and what holds for all parts where it
  // stands in this one.
  MeasureReader(const XmlDocument& document, Page& page, std::size_t part, Doubts& doubts);

  void read(pugi::xml_node measure, std::size_t index);

 private:
  Ticks ticks(pugi::xml_node duration);
  void read_attributes(pugi::xml_node attributes);
  void read_time(pugi::xml_node time);
  void read_note(pugi::xml_node note);
  void place_graces(Ticks principal, Ticks before_length);
  std::optional<int> key_of(pugi::xml_node note);
  void read_direction(pugi::xml_node direction);
  void read_sound(pugi::xml_node sound, Ticks at);
  void read_barline(pugi::xml_node barline);
  void move(Ticks by, pugi::xml_node node);

  const XmlDocument& document_;
  Page& page_;
  std::size_t part_;
  Doubts& doubts_;
  PageMeasure* measure_ = nullptr;
  std::optional<int> divisions_;  // of a quarter note, as the file last said
  int transposed_ = 0;            // semitones from what is written to what sounds
  Ticks cursor_ = 0;
  Ticks last_onset_ = 0;                       // of the note that a chord goes on from
  Ticks last_length_ = 0;                      // likewise
  std::vector<std::vector<PageNote>> graces_;  // that wait for their principal note, by chord
  std::vector<int> endings_;                   // the volta that is open
  bool closes_ending_ = false;                 // with this measure
  bool seen_coda_ = false;
};

}  // namespace arsis
