// Evidence for each candidate main of a block: what dynamics, articulation, harmony, contour,
// rhythm and repetition say, as numbers and as words.
#pragma once

#include <array>
#include <span>
#include <string>
#include <vector>

#include "draft/surface.h"
#include "draft/weights.h"
#include "plan/tuning.h"

namespace arsis {

// What one feature says of one member.
struct Finding {
  double score = 0.0;  // -1..1; above 0 it speaks for the member, at 0 it says nothing
  std::string words;   // why, where there is something to say
};
using Findings = std::vector<Finding>;

// The members of one block, in order.
struct Members {
  Level level = Level::kPhrase;  // of the block: a phrase's members are motifs
  std::span<const Span> spans;
};

struct Candidate {
  std::array<Finding, kFeatures> findings;  // by Feature
  double total = 0.0;                       // the scores by their weights, summed

  const Finding& of(Feature feature) const { return findings[index_of(feature)]; }
};

// All features of all members, one candidate each.
std::vector<Candidate> evidence(const Surface& surface, const Members& members);

// Louder: the mean written step of each member against the others', a hairpin through the block
// counting at least half. Where no dynamics are written, the notes' own velocities.
Findings dynamics_evidence(const Surface& surface, const Members& members);
// The strongest mark of each member (sforzando, marcato, accent, tenuto, portato); marks that are
// not over the melody count half. Fermatas say nothing: they mostly close.
Findings articulation_evidence(const Surface& surface, const Members& members);
// The tenser member against the others, appoggiaturas and suspensions on strong places included.
Findings harmony_evidence(const Surface& surface, const Members& members);
// The peak of the line; the way the line goes (falling: the first, climbing: the last); the
// strongest melodic accent.
Findings contour_evidence(const Surface& surface, const Members& members);
// The longest note by durational accent; the block's last note has only half of its lead, since
// ends are long anyway.
Findings rhythm_evidence(const Surface& surface, const Members& members);
// Two or more alike and a last one that goes on: the last. Says nothing of fewer than three
// members.
Findings repetition_evidence(const Surface& surface, const Members& members);

}  // namespace arsis
