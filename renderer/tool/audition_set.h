// What an audition compares, made ready from its words.
#pragma once

#include <optional>

#include "tool/audition.h"
#include "tool/heard_readings.h"

namespace arsis {

// The plan's passage in its readings, or in two plans; with the lead-in where it is asked for.
// Reports errors and warnings itself. None: with the exit code for it in `code`. `layers` are the
// words read.
std::optional<Audition> audition_of(const AuditionArgs& args, const Layers& layers, int& code);

// The plan and its passage alone, nothing chosen to be compared yet; as above.
std::optional<Audition> unchosen_audition(const AuditionArgs& args, const Layers& layers,
                                          int& code);

// Chooses a block that the plan has: its passage, with a lead-in or without, and its readings. That
// of the piece stays the passage that there is.
void choose_block(Audition& audition, const LedBlock& block, const Mains& mains, bool lead_in);

// The passage begun a bar earlier, at the same beat, or where the score begins.
Span with_lead_in(Span span, const Bars& bars);

}  // namespace arsis
