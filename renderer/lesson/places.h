// Where a question's passage and its choices lie, in words and moments.
#pragma once

#include <string>
#include <vector>

#include "lesson/question.h"

namespace arsis {

// Where a choice lies: what leads if it is right, or, with both ends one, where the phrase ends.
struct ChoicePlace {
  Span span;
  std::string letter;
};
// One for each choice, in order; none where choices are not about places. Nothing of the answer is
// in them.
std::vector<ChoicePlace> choice_places(const LessonPiece& piece, const Question& question);

// A choice as one can find it on the page: "motif 2, from 1:3"; others as they are.
std::string choice_words(const LessonPiece& piece, const Question& question, std::size_t choice);

}  // namespace arsis
