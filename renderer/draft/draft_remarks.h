// What a draft says of itself in the trade's words: the remarks in its plan.
#pragma once

#include <string>

#include "draft/draft.h"
#include "plan/plan_writer.h"

namespace arsis {

// Why the choice is what it is: the two features that lead most over the runner-up, in words. Empty
// where no feature has any.
std::string reason_of(const Choice& choice);

// What speaks for one member, chosen or not, against the best of the others: two features at most,
// in words. Empty where nothing does, and of a member alone.
std::string reason_for(const Choice& choice, std::size_t member);

// "2 leads, climbs to G5"; in doubt with the runner-up and by how much it is behind. Empty for a
// member alone.
std::string choice_words(const Choice& choice);

// For each sentence where it lies, why it begins there, which phrase leads; for each of its phrases
// which motif leads; motifs that end feminine or on a rest. `why`: with all candidates' scores by
// feature, as a table. Alternatives of the structure stand at the end, ready to be taken.
PlanRemarks remarks_of(const Draft& draft, bool why);

}  // namespace arsis
