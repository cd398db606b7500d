// Names of notes as a musician says them, spelled by the key they stand in.
#pragma once

#include <string>

#include "draft/key_finding.h"

namespace arsis {

// "C sharp", "B flat"; chromatic notes as the key's neighbours have them (in C major F sharp, but B
// flat). `key_number` is a MIDI note number or a pitch class.
std::string pitch_class_name(int key_number, Tonality key);

// "G5", "C sharp 5"; C4 is middle C, MIDI note 60.
std::string pitch_name(int key_number, Tonality key);

}  // namespace arsis
