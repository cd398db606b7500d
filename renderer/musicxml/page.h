// The printed page as its file has it, before anything is played: measures with their notes, times
// counted from each measure's beginning.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "musicxml/playing_order.h"
#include "score/bars.h"

namespace arsis {

using Ticks = std::int64_t;  // of Page::division

struct PageNote {
  Ticks onset = 0;  // from the measure's beginning
  Ticks length = 0;
  int key = 60;  // as it sounds, 0..127
  int staff = 1;
  bool tied_from = false;  // goes on from a note of this key before it
  bool tied_to = false;    // goes on in the next note of this key
};

struct PageTempo {
  Ticks at = 0;
  double quarters_a_minute = 120.0;  // ratio to one a minute; above 0
};

struct PageKey {
  int sharps = 0;  // -7..7
  bool minor = false;
};

// A measure of one part.
struct PartMeasure {
  std::vector<PageNote> notes;
  Ticks reached = 0;  // the farthest moment that its notes, rests and forwards come to
};

struct PageMeasure {
  int number = 0;          // as printed
  bool is_counted = true;  // false: "implicit", a pickup or the rest of a measure that was divided
  MeasureSigns signs;
  std::optional<TimeSignature> signature;  // in force; read_page() leaves none without
  std::optional<PageKey> key;              // where it changes
  std::vector<PageTempo> tempos;
  Ticks length = 0;
  std::vector<PartMeasure> parts;  // one for each of Page::parts
};

struct PagePart {
  std::string id;
  std::string name;
  int staves = 1;
  std::optional<int> program;  // General MIDI, from 0
};

struct Page {
  std::string title;
  int division =
      480;  // ticks per quarter note: every duration of the file is a whole number of them
  std::vector<PagePart> parts;
  std::vector<PageMeasure> measures;
};

}  // namespace arsis
