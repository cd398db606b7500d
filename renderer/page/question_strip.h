// The bars that a question is about, for those who are to hear its answer: the notes as written
// with their printed dynamics, and where what may be answered lies. Nothing of what a plan says.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "page/picture.h"
#include "page/sheet.h"
#include "page/system.h"
#include "page/systems.h"

namespace arsis {

// Where an answer lies, under its letter: a stretch, or a moment where both ends are one.
struct StripLabel {
  Span span;
  std::string letter;
};

// More would not be looked at on a sheet of questions.
inline constexpr std::size_t kMostStripNotes = 5'000;
inline constexpr std::size_t kMostStrips = 6;

// The lines that the passage takes, each at most that wide; none where it has no notes, more than
// kMostStripNotes, or takes more than kMostStrips. The picture's levels and layers are not shown.
std::vector<System> strip_systems(const Picture& picture, Span passage, Millimetres width);

// The same, drawn.
//   fields  as of draw_pages(), asked for strip_systems()
std::vector<DrawnSystem> draw_strips(const Picture& picture, Span passage,
                                     std::span<const StripLabel> labels, Millimetres width,
                                     const FieldSource& fields = {});

// How wide a field may be in a strip of that width, without what hangs in the margin.
Millimetres strip_room(Millimetres width);

}  // namespace arsis
