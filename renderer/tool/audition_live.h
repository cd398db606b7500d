// An audition played now.
#pragma once

#include <chrono>
#include <optional>
#include <vector>

#include "tool/audition.h"
#include "tool/heard_readings.h"

namespace arsis {

// Plays the readings in turn, again and again while somebody is at the keys, once through where
// nobody is. Reports errors itself; the exit code.
int play_audition(const Audition& audition, const AuditionArgs& args);

// Between two readings that are played now, after the first has died away.
inline constexpr std::chrono::milliseconds kAfterReading{700};

// Played now, readings are measured first, unless they last longer than this together.
inline constexpr Seconds kLongestMatched{600.0};

// Why the readings will not be matched in loudness: a MIDI port, whose instrument nobody here
// hears, or their length. None: they will be.
std::optional<Diagnostic> unmatched_warning(const Audition& audition, const AuditionArgs& args);

// A gain for each reading that makes them equally loud: each is measured first (live_loudness()),
// with a progress line. 0 dB each where unmatched_warning() has something to say. Reports errors
// itself. None: with the exit code for it in `code`.
std::optional<std::vector<Decibels>> live_gains(const Audition& audition, const AuditionArgs& args,
                                                int& code);

}  // namespace arsis
