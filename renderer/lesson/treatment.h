// How a question's passage is played so that one of its choices is true.
#pragma once

#include "lesson/question.h"
#include "score/excerpt.h"
#include "shape/layers.h"

namespace arsis {

// The plan and the layers under which that choice is true; nothing else differs between choices.
//   kMotifLeads, kPhraseLeads  that member leads, whatever the plan says
//   kFlatOrShaped              no amount, or the question's
//   kLevelMissing              all levels but one
//   kPhraseEnds                the motifs of two phrases divided after that one; a main that its
//                              phrase has lost is its last motif. In a sentence that others are
//                              like theirs, too
//   kDiminuendo                broadened or swelling everywhere
//   choice  index into the question's choices
struct Treatment {
  Plan plan;
  Layers layers;
};
Treatment treatment_of(const LessonPiece& piece, const Question& question, std::size_t choice);

// The question's passage as it is played then. The touch is there, with no unevenness.
Excerpt perform_choice(const LessonPiece& piece, const Question& question, std::size_t choice);

// Whether every two choices are heard as two in a shape of 100 %, and differ at all in that of the
// question: how hard it is to hear is the question's amount, whether there is anything to be heard
// is the passage's. A diminuendo of which a phrase has only the first note is neither kept nor
// passed.
bool can_be_told(const LessonPiece& piece, const Question& question);

// The longest that the passage lasts under any choice, up to the end of its last note: what every
// clip of the question is filled up to, so that the length says nothing.
Seconds longest_choice(const LessonPiece& piece, const Question& question);

}  // namespace arsis
