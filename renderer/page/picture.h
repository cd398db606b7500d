// What a marked page shows: a score, the plan over it, what the model makes of both, and perhaps
// what somebody played. Everything is data, so that a take can be drawn over a plan, or one block
// of a piece for a lesson.
#pragma once

#include <string>
#include <vector>

#include "plan/binding.h"
#include "score/score.h"
#include "shape/layers.h"
#include "shape/perform.h"

namespace arsis {

// How loud one note of the score is in a performance.
struct HeardLevel {
  Beats at;  // its onset
  Decibels level;
  bool melody = false;  // a note of the line that blocks lead along
};

// How fast a performance goes over a stretch of the score.
struct TempoStretch {
  Span span;
  double ratio = 1.0;  // to the written tempo; above 1 is faster
};

// One performance, as curves over the score's time.
struct Course {
  std::string name;                 // as the legend names it
  std::vector<HeardLevel> levels;   // by onset
  std::vector<TempoStretch> tempo;  // in order, without overlap
};

// The model's own performance as a course.
Course course_of(const Score& score, const BoundPlan& plan, const Shaped& shaped, std::string name);

// A line of words about a phrase or a sentence.
struct Remark {
  Level level = Level::kPhrase;
  std::size_t index = 0;  // among the plan's blocks of the level
  std::string words;
};

struct Picture {
  const Score& score;
  const BoundPlan& plan;                 // bound to this score
  const std::vector<NoteLevel>& levels;  // one for each note, as perform() gives them: ceilings
  Layers layers;                         // which levels' curves stand, and how high
  std::string title;                     // any bytes
  std::string subtitle;                  // likewise: parts, bars
  std::vector<Course> courses;  // the first is drawn in full, further ones as dashed lines; a
                                // legend names them where there are several
  std::vector<Remark> remarks;  // in order of their blocks' beginnings; empty: none are drawn
};

}  // namespace arsis
