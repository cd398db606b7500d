// What counts as silence, and what brings it about.
#pragma once

#include <array>
#include <cstdint>

#include "base/units.h"

namespace arsis {

inline constexpr float kSilence = 1e-4F;       // of a sample: -80 dBFS. Our choice
inline constexpr Seconds kSilenceLength{0.2};  // after which a sound has died away. Our choice

// The controllers that, at 0, let go of every note of a channel: damper, sostenuto, all notes off.
// Source: MIDI 1.0.
inline constexpr std::array<std::uint8_t, 3> kReleases = {64, 66, 123};

}  // namespace arsis
