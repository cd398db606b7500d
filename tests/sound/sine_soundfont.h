// SoundFonts made for measuring: one sine wave, or one click, over the whole keyboard, with nothing
// in them but the format's defaults.
// Source: SoundFont Technical Specification 2.04, chapters 4 to 7 (layout of the RIFF form 'sfbk').
#pragma once

#include <filesystem>

namespace arsis::test {

enum class Wave {
  kSine,   // looped, at once on, off within some milliseconds; key 69 sounds at 440 Hz
  kClick,  // ten milliseconds of full level, then silence
};

// How level follows velocity.
enum class VelocityLaw {
  kStandard,  // L = 40 log10(v / 127), the format's default
  kHalf,      // L = 20 log10(v / 127): a modulator of the font takes the default's place
};

// Writes the SoundFont, program 0, for 48,000 frames a second.
void write_soundfont(const std::filesystem::path& path, Wave wave,
                     VelocityLaw law = VelocityLaw::kStandard);

}  // namespace arsis::test
