// SoundFonts written: one instrument of mono samples, sample after sample, so that only one of them
// is in memory at a time.
// Source: SoundFont Technical Specification 2.04, chapters 3 to 8.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/units.h"

namespace arsis {

struct SoundFontText {
  std::string name;       // of the font and its instrument; not empty
  std::string copyright;  // at most 255 bytes are kept
  std::string comment;    // at most 65,000 bytes are kept
};

// A mono sample of 16 bits.
struct FontSample {
  std::string name;                  // at most 19 bytes are kept
  int key = 60;                      // at which it sounds as recorded, 0 to 127
  int sample_rate = 48'000;          // frames a second, 400 to 192,000
  std::vector<std::int16_t> frames;  // at least 48, as the format demands
};

// Which sample sounds for a stretch of keys and velocities, and how.
struct FontZone {
  std::size_t sample = 0;  // counted as added, from 0
  int lowest_key = 0;
  int highest_key = 127;
  int softest = 0;  // velocities
  int loudest = 127;
  Seconds release;   // from full level to 100 dB below it, 1 ms to 101 s
  double pan = 0.0;  // ratio: -1 left, 0 middle, 1 right
  // The sample is heard when the key is released, not when it is struck: its first 72 frames, which
  // must be silent, are held (looped) until then. Its level follows the velocity by
  // `key_off_range`.
  bool key_off = false;
};

// How much softer than at velocity 127 a key's release is at velocity 1. Our choice, unheard by
// others: the damper falls alike after a soft and a loud note, the key goes back somewhat faster.
inline constexpr Decibels kKeyOffRange{20.0};
inline constexpr std::size_t kKeyOffSilence = 80;  // frames before the sound of a key_off sample

// A SoundFont on its way: beside its target until finish() gives it the target's name. The same
// calls give the same bytes.
class SoundFontWriter {
 public:
  static Result<SoundFontWriter> create(const std::filesystem::path& target,
                                        const SoundFontText& text);
  SoundFontWriter(SoundFontWriter&&) noexcept;
  SoundFontWriter& operator=(SoundFontWriter&&) = delete;
  ~SoundFontWriter();

  // Errors: no room on the disk; samples of more than 4 GiB together.
  Result<Done> add(const FontSample& sample);
  // Programs 0 to `programs` - 1 of bank 0 (1 to 128) sound the one instrument; level follows the
  // velocity by the format's default (960 cB), which brightness does not. Nothing may follow.
  // Errors: no room on the disk; more zones than the format can count (6,000 are taken).
  Result<Done> finish(std::span<const FontZone> zones, int programs);

 private:
  struct State;
  explicit SoundFontWriter(std::unique_ptr<State> state);
  std::unique_ptr<State> state_;
};

}  // namespace arsis
