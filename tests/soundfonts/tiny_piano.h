// A piano made for measuring: decaying harmonic tones of known onsets, levels and brightness, as
// sample files in folders, the way build_grand takes them.
#pragma once

#include <array>
#include <filesystem>
#include <vector>

namespace arsis::test {

inline constexpr std::size_t kTinyLayers = 3;
inline constexpr std::array kTinyKeys = {36, 60, 84, 90, 105};  // C2 C4 C6 F#6 A7

// Where the tone begins in its file: 5 to 57 ms, another time in every file.
double tiny_onset_ms(std::size_t layer, std::size_t key);
// How loud it is beside what a level curve would have: up to 9.5 dB from layer to layer.
double tiny_level_db(std::size_t layer, std::size_t key);

// Writes WAV files, stereo: the second channel is the first one turned over and softer or, for
// every other key, louder, so that their sum is nearly nothing. Returns the layers' folders,
// softest first.
std::vector<std::filesystem::path> write_tiny_piano(const std::filesystem::path& folder);

// Release noises of keys 21 and 60 in a folder, which it returns: 0.3 s of 3 kHz.
std::filesystem::path write_tiny_noises(const std::filesystem::path& folder);

// A WAV file of these frames, left and right in turn.
void write_stereo(const std::filesystem::path& path, const std::vector<float>& interleaved);

}  // namespace arsis::test
