// A SoundFont synthesizer (FluidSynth): messages in, frames out.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <span>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

inline constexpr int kVoices = 256;  // that sound at a time
inline constexpr int kBlock = 64;    // frames: messages take effect at the beginning of one

struct SynthesizerSettings {
  int sample_rate = 48'000;  // frames a second, 8,000 to 96,000
  bool reverb = true;        // a small room
  double gain =
      1.0;  // ratio, 0 to 10; 1 does not clip a dense piano piece in the common SoundFonts
  // Another SoundFont, which sounds what the first one lacks; empty: none. One that cannot be
  // loaded is done without.
  std::filesystem::path beneath = {};
};

// Fresh settings and a fresh synthesizer each time, which is what makes its output repeatable.
class Synthesizer {
 public:
  // Errors: the SoundFont cannot be loaded or holds no sounds; a setting out of its range. Channel
  // 10 (9 from 0) plays drums, as General MIDI says; where there are none, the click's two
  // woodblocks sound there all the same. Several of one SoundFont share its samples in
  // memory. [any thread, once the first of the process is made]
  static Result<Synthesizer> with(const std::filesystem::path& soundfont,
                                  const SynthesizerSettings& settings);
  Synthesizer(Synthesizer&&) noexcept;
  Synthesizer& operator=(Synthesizer&&) noexcept;
  ~Synthesizer();

  // A whole channel message, or a whole system-exclusive from F0 to F7. Others are ignored.
  // [audio thread]
  void send(std::span<const std::uint8_t> message);
  // The next frames: left and right in turn, 1 at full level; finite, not clipped. Messages take
  // effect at blocks of kBlock frames, counted from the first. [audio thread]
  void render(std::span<float> interleaved);
  // The programs, from 0, that the SoundFont has in bank 0, where melodies are played; rising.
  // [main thread]
  std::vector<int> melodic_programs() const;

 private:
  struct Handles;
  explicit Synthesizer(std::unique_ptr<Handles> handles);
  std::unique_ptr<Handles> handles_;
};

}  // namespace arsis
