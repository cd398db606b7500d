// What a listener notices of a difference in level or in time.
#pragma once

#include "base/units.h"
#include "score/excerpt.h"

namespace arsis {

// The smallest difference of level that a listener notices in music.
// Source: Jesteadt, Wier & Green 1977 (from memory): 0.5 to 1.2 dB over the levels of music.
inline constexpr Decibels kLevelStep{1.0};

// The smallest change of an interval between two onsets that a listener notices.
// Source: Friberg & Sundberg 1995: 6 ms below about 240 ms, 2.5 % above.
Seconds time_step(Seconds interval);

// Whether two performances of the same passage, brought to one loudness, are heard as two: a note
// of one stands out by a step of level or more, or an interval between two onsets of the score is
// longer or shorter by a step of time or more. Both have the same notes.
bool is_heard_apart(const Excerpt& a, const Excerpt& b);

}  // namespace arsis
