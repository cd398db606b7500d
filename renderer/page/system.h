// One system drawn, from above: the breath curves of sentences, phrases and motifs; the motifs'
// feet; the notes as written; bar numbers; the written dynamics over the band of the ceiling with
// what sounds in it; the tempo; words about the blocks.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "page/axis.h"
#include "page/systems.h"

namespace arsis {

// What all systems of a picture share, so that they can be compared.
struct Scales {
  int lowest_key = 60;  // of the notes with pitch; MIDI note numbers
  int highest_key = 72;
  bool has_pitches = true;
  bool has_drums = false;
  Decibels softest;      // of the band: what lies below is drawn on its lower edge
  Decibels loudest;      // at least 12 dB above; at most 0 dB
  double slowest = 0.9;  // ratios to the written tempo, at most 1 and at least 1
  double fastest = 1.1;
  Millimetres remark_names;  // what the longest name of a block with a remark takes up
};
Scales scales_of(const Picture& picture, Span passage);

// The measures of a system.
struct Frame {
  Millimetres width{180.0};  // with the margin at its left, where the scales stand
  double stretch = 1.0;      // ratio to the usual heights, 0.5..2
  Scales scales;
};

// How much of a frame's width is left for music.
Millimetres room_in(const Frame& frame);

// Where the head of one note stands in a field.
struct FieldHead {
  std::uint32_t note = 0;  // index into Score::notes
  Millimetres y;           // of its middle, from the field's upper edge
};

// How the notes of a system are shown where it is not by our own drawing: an engraved staff.
struct NoteField {
  std::string svg;  // an <svg> element or a <g>, from its own upper left corner
  Millimetres width;
  Millimetres height;
  Millimetres hang;                 // how much of it stands in the margin; at most kMostHang
  std::vector<Waypoint> waypoints;  // from its own left edge; as Axis wants them
  std::vector<FieldHead> heads;     // by note
};
// The margin has room for that much.
inline constexpr Millimetres kMostHang{10.5};

struct DrawnSystem {
  Span span;
  // One <svg> element, its view box in tenths of a millimetre, without the style sheet
  // (page_style()), which a page has once.
  std::string svg;
  Millimetres width;
  Millimetres height;
  // Of the music, rising: the beginning of the system, its bar lines, its end; or those of the
  // field. Onsets lie where the straight way between two of them says.
  std::vector<Waypoint> waypoints;
};

// How high draw_system() makes it, for little work.
Millimetres height_of(const Picture& picture, const System& system, const Frame& frame,
                      const NoteField* field = nullptr);

// `field`: null, and the notes are drawn by pitch and time.
DrawnSystem draw_system(const Picture& picture, const System& system, const Frame& frame,
                        const NoteField* field = nullptr);

}  // namespace arsis
