// An audition as one file: every reading after the one before, with a silence between.
#pragma once

#include "tool/audio_options.h"
#include "tool/audition.h"
#include "tool/heard_readings.h"

namespace arsis {

// Between two readings.
inline constexpr Seconds kBetweenReadings{1.0};

// Writes the file and prints where in it each reading begins. Audio is matched in loudness, each
// reading with its own tail; a MIDI file has a marker at each. Reports errors and warnings itself;
// the exit code.
int write_audition(const Audition& audition, const AuditionArgs& args, const AudioRequest& audio);

}  // namespace arsis
