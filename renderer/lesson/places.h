// Where a question's passage and its choices lie, in words and moments.
#pragma once

#include <string>
#include <vector>

#include "lesson/question.h"

namespace arsis {

// "bars 0 to 3"; "bar 4".
std::string bars_of(const LessonPiece& piece, const Question& question);

// The motifs or phrases that the choices are about, in order: of kMotifLeads, kPhraseLeads one for
// each choice; of kPhraseEnds all motifs; empty for the others. Nothing of the answer is in them.
std::vector<Span> members_of(const LessonPiece& piece, const Question& question);

// A choice as one can find it on the page: "motif 2, from 1:3"; others as they are.
std::string choice_words(const LessonPiece& piece, const Question& question, std::size_t choice);

// "a" to "d".
std::string letter_of(std::size_t choice);

}  // namespace arsis
