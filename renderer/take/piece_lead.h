// Which sentence of a take leads the piece, where the plan names one.
#pragma once

#include <optional>
#include <vector>

#include "plan/binding.h"
#include "take/heard.h"
#include "take/leads.h"

namespace arsis {

// By the levels of the sentences alone: each the middle of its melody's notes, less the written
// dynamics and the arcs that were heard in it, against the arc that the piece would have if another
// sentence led, or none. How far the written dynamics go is left free where there are sentences
// enough. Members of the lead are sentences; a default arc of 1 dB is just what can be noticed, so
// one sentence hardly stands out by a step against the next: not audible, mostly.
//   none         the plan names no main sentence
//   cannot tell  fewer than three sentences were played, or there are more than 200
// `losses` as of hear_leads().
std::optional<Lead> hear_piece(const BoundPlan& plan, const Heard& heard,
                               const std::vector<Loss>& losses);

}  // namespace arsis
