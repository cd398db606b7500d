// How loud rendered sound is (libebur128): integrated loudness and true peak, over any length of it
// as it comes.
// Source: ITU-R BS.1770-4 and EBU R 128: 400 ms blocks, gates at -70 LUFS and 10 LU under the
// ungated loudness; true peak by fourfold oversampling.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>

#include "base/units.h"

namespace arsis {

// What a peak is: what stands between the samples too, or the highest of them, which may be some
// tenths of a dB less and takes a third of the time.
enum class PeakKind : std::uint8_t { kTrue, kSample };

class LoudnessMeter {
 public:
  // Stereo. `sample_rate` 8,000 to 96,000 frames a second.
  explicit LoudnessMeter(int sample_rate, PeakKind peak = PeakKind::kTrue);
  LoudnessMeter(LoudnessMeter&&) noexcept;
  LoudnessMeter& operator=(LoudnessMeter&&) noexcept;
  ~LoudnessMeter();

  // Left and right in turn, finite.
  void add(std::span<const float> interleaved);
  // Half a second of silence: more than a block. With it behind them two sounds that end alike are
  // measured alike; without it the blocks that hold the end depend on where the sound is cut.
  void add_silence();

  // Of all so far. None where nothing passes the gate: silence, or less than 400 ms of sound.
  std::optional<Lufs> loudness() const;
  // Highest of both channels between the samples too, 0 dB at full level (dBTP); -200 dB at most
  // down, for silence. Of a meter of samples: the highest of them.
  Decibels true_peak() const;

  // Of several programmes as if they were played one after another, with one gate for all.
  static std::optional<Lufs> together(std::span<const LoudnessMeter* const> meters);

 private:
  struct Handle;
  std::unique_ptr<Handle> handle_;
};

}  // namespace arsis
