// What a page prints beside its notes: dynamics, hairpins, marks, slurs, already laid on the score
// as it is played. They are what holds where the plan says nothing else. A MIDI file prints
// nothing.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "plan/plan.h"
#include "score/score.h"

namespace arsis {

// A dynamic, or a hairpin (or a word such as "cresc." as far as it reaches) where `to` lies after
// `from`.
struct PrintedDynamic {
  Beats from;
  Beats to;
  bool rises = false;        // a hairpin's way
  std::optional<int> step;   // of the mark, or of the mark that the hairpin ends on; steps from mf
  std::vector<bool> parts;   // for each of Score::parts: whether it holds there
  bool is_of_staff = false;  // of one staff alone: outranks what stands for the whole instrument
  Place place;               // in the score's file, as all places here
};

struct PrintedMark {
  Mark mark = Mark::kAccent;
  std::uint32_t note = 0;  // index into Score::notes
  Place place;
};

struct PrintedFermata {
  Span span;  // the note, or the rest, that is held
  Place place;
};

struct PrintedBreath {
  Beats at;
  std::vector<bool> parts;  // for each of Score::parts: whether it breathes
  Place place;
};

struct PrintedSlur {
  std::uint32_t first = 0;  // its notes, indices into Score::notes
  std::uint32_t last = 0;
};

// A measure as it is played: each pass of one that is repeated is another.
struct PrintedMeasure {
  Beats begin;
  std::uint32_t index = 0;  // of the printed one, in the file's order
};

struct Printed {
  std::string file;  // the score's, for messages
  // By `from`, a mark before a hairpin that begins with it. Of two that hold for one part with the
  // same rank none begins inside the other's hairpin, and no two marks stand at one moment: the
  // page's reader has settled that.
  std::vector<PrintedDynamic> dynamics;
  // By note; fermatas among them. A forte-piano is a mark here and a dynamic above, both with the
  // place of its element.
  std::vector<PrintedMark> marks;
  std::vector<PrintedFermata> fermatas;
  std::vector<PrintedBreath> breaths;
  std::vector<PrintedSlur> slurs;  // by first note
  // For each note the id of its element on the page, for tied notes the first one's; a note that is
  // played again has the same again. Empty where there is no page.
  std::vector<std::string> note_ids;
  // In the order they are played, which is that of their beginnings; each ends where the next
  // begins. Several may lie in one bar: a measure that is divided in print. Empty where there is no
  // page.
  std::vector<PrintedMeasure> measures;

  Where where(Place place) const { return {file, place.line, place.column, {}}; }
};

}  // namespace arsis
