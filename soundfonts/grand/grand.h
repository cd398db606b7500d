// A piano that brightens: a SoundFont of many layers, each recorded at another strength, built from
// sample files. Onsets are trimmed to one moment, levels laid on one curve over the keyboard, so
// that the velocity alone sets the level and the layers set the colour.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/units.h"
#include "sound/soundfont_writer.h"

namespace arsis {

struct GrandRequest {
  std::vector<std::filesystem::path> layers;  // a folder each, the softest first
  std::filesystem::path key_off;              // a folder of release noises; empty: none
  std::filesystem::path target;
  SoundFontText text;
  std::function<void(double)> progress;  // share done, from 0 to 1; may be empty
};

struct GrandReport {
  std::size_t samples = 0;
  Seconds sound;              // in all samples together
  Seconds earliest, latest;   // onsets as they lay in the files
  Decibels softest, loudest;  // by how much samples were turned up
};

// How long a key takes to fall silent (by 100 dB) when it is released: 0.3 s at C2, 0.18 s at C6,
// even steps between and beyond; from key 90 up there is no damper, and the string rings on.
// Source: the project's measurements of damped notes.
inline constexpr int kLowestUndamped = 90;
Seconds release_of(int key);

// From -1 left to 1 right, as the player hears it: 0.3 at either end of the keyboard.
double pan_of(int key);

// The velocities of a layer, 1 to 127 shared evenly: layer 0 of 4 has 1 to 31.
struct VelocityRange {
  int softest = 1;
  int loudest = 127;
};
VelocityRange velocities_of(std::size_t layer, std::size_t layers);

// The middle between neighbouring sampled keys divides their zones; the outermost ones reach to the
// piano's ends, 21 and 108. `keys` rise.
struct KeyZone {
  int lowest = 21;
  int highest = 108;
};
KeyZone zone_of(const std::vector<int>& keys, std::size_t at);

// Writes the SoundFont. Programs 0 to 7, the General MIDI pianos, sound it. Errors: files that are
// missing, damaged, silent or of different keys, all of them; what SoundFontWriter says.
Result<GrandReport> build_grand(const GrandRequest& request);

}  // namespace arsis
