// What a recorded take says of itself, in plain events of a MIDI file: its track's name is the
// title of the plan that was played, and a text event tells when.
#pragma once

#include <string>

#include "score/score.h"

namespace arsis {

inline constexpr const char* kRecordedOn = "recorded ";  // then "2026-11-29 16:50:12"

// The time of recording that the file tells, as text; empty where it tells none.
std::string recorded_on(const Score& file);

}  // namespace arsis
