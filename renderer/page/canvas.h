// What the drawers of one system share: where moments lie, how high things are, and the ink. Inside
// of page/ only.
#pragma once

#include <string>

#include "page/axis.h"
#include "page/ink.h"
#include "page/picture.h"
#include "page/system.h"

namespace arsis {

// What a ceiling is when it steps: so long before.
inline constexpr Beats kJustBefore{1e-5};

struct Canvas {
  const Picture& picture;
  const Frame& frame;
  Span span;  // of the system
  Axis axis;
  Ink ink;
  const NoteField* field = nullptr;  // null: the notes are drawn by us

  Millimetres left() const { return axis.left(); }
  Millimetres right() const { return axis.right(); }
  // A height that grows with the frame.
  Millimetres tall(double millimetres) const { return {millimetres * frame.stretch}; }
};

// A stretch of the height, from `top` downwards.
struct Row {
  Millimetres top;
  Millimetres height;
  Millimetres bottom() const { return top + height; }
};

// The curves of sentences, phrases and motifs with their goals, names and feet; lines from goals
// down to the notes' field at `field`. `row` is breath_height() high.
Millimetres breath_height(const Canvas& canvas);
void draw_breath(Canvas& canvas, Row row, Row field);

// The notes by pitch and time, with the staves' lines.
void draw_notes(Canvas& canvas, Row row);
// What is printed over single notes and between them, breaths.
void draw_signs(Canvas& canvas, Row row);
// Where a key's middle lies in the notes' row.
Millimetres height_of_key(const Canvas& canvas, Row row, int key);

// Bar lines through the field and, fainter, through `under`; beats, bar numbers and new time
// signatures in `numbers`.
void draw_bars(Canvas& canvas, Row field, Row numbers, Row under);

// Dynamics in words and hairpins in `names`; the ceiling and what sounds under it in `band`.
void draw_dynamics(Canvas& canvas, Row names, Row band);
void draw_dynamic_names(Canvas& canvas, Row names);  // the words and hairpins alone
void draw_levels(Canvas& canvas, Row band);
// Where a level lies in the band, not below its lower edge.
Millimetres height_of_level(const Canvas& canvas, Row band, Decibels level);

// The tempo beside the written one, the written one's number where it changes.
void draw_tempo(Canvas& canvas, Row row);

}  // namespace arsis
