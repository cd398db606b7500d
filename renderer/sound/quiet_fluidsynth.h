// Keeps FluidSynth from talking to the user; what went wrong is known by its results.
#pragma once

namespace arsis {

// From now on its log goes nowhere. May be called often and from any thread.
void quiet_fluidsynth();

}  // namespace arsis
