// What speaks for a structure, in a musician's words.
#pragma once

#include <string>
#include <vector>

#include "draft/boundaries.h"
#include "draft/structure.h"
#include "score/score.h"

namespace arsis {

// For each phrase what speaks for its beginning: cues, the passage that it is like (the piece's
// opening, the sentence before, the phrase before), or that it keeps the measure of those before.
std::vector<std::string> phrase_words(const Score& score, const BoundarySurvey& survey,
                                      Beats upbeat, const Structure& structure);

// "begins a sentence at 9:3 (rest before it)" for the first beginnings that `other` does not have,
// at most four; where there are none, what it does without.
//   words   of the phrases of `structure`
std::vector<std::string> words_instead(const Score& score, const Structure& structure,
                                       const std::vector<std::string>& words,
                                       const Structure& other);

}  // namespace arsis
