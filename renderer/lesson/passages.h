// The passages of a piece that a question can be asked of.
#pragma once

#include <vector>

#include "lesson/question.h"

namespace arsis {

// The most choices of a question: more motifs than that nobody keeps in mind.
inline constexpr std::size_t kMostChoices = 4;

// All questions of the kind that the piece has a passage for, with their choices; answer and amount
// are still to be chosen. In order of the piece; of members that lead two to kMostChoices.
//   kPhraseEnds  two neighbouring phrases of a sentence with three motifs or more together
//   kDiminuendo  phrases with a printed diminuendo in which something would grow
std::vector<Question> passages_for(QuestionKind kind, const LessonPiece& piece, std::size_t index);

}  // namespace arsis
