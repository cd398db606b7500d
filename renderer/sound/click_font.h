// A click for SoundFonts that have no percussion, such as a piano alone: two woodblocks of our own.
#pragma once

#include <fluidsynth.h>

namespace arsis {

// Where none of the synthesizer's SoundFonts has percussion (bank 128), adds one that has it: keys
// 76 and 77 sound, as General MIDI's high and low woodblock. The synthesizer owns it then.
void add_click_font(fluid_synth_t* synth);

}  // namespace arsis
