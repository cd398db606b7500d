// A performance rendered to frames, faster than it sounds, and what was measured on the way.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>

#include "base/diagnostic.h"
#include "score/performance.h"
#include "score/score.h"
#include "sound/frame_store.h"
#include "sound/loudness.h"
#include "sound/synthesizer_bank.h"

namespace arsis {

struct RenderRequest {
  std::filesystem::path soundfont;
  std::filesystem::path beside;  // the file to be written: long pieces are kept beside it meanwhile
  BankSettings bank;
  std::size_t in_memory = FrameStore::kInMemory;  // samples kept there rather than in a file
  PeakKind peak = PeakKind::kTrue;                // what is measured beside the loudness
  bool measures_loudness = false;                 // costs about a sixth more
  std::function<void(double)> progress;  // share done, rising from 0 to 1, at most some hundreds of
                                         // times, on the calling thread; may be empty
};

struct Rendered {
  FrameStore frames;
  int sample_rate = 0;
  bool should_sound = false;           // there are notes in it
  std::optional<LoudnessMeter> meter;  // where it was asked for

  Seconds length() const;                        // tail included
  double peak() const { return frames.peak(); }  // largest sample, ratio, 1 at full level
  bool is_silent() const;                        // under -80 dBFS throughout
};

// Longer than any piece for one player, and all that a WAV file of 24 bits and 48 kHz can hold.
inline constexpr Seconds kLongestPerformance{4.0 * 3600.0};

// Notes begin within 8 frames of their moment (0.17 ms at 48 kHz), other messages take effect at
// the nearest block of 64. The frames start with the performance's time 0. After the last message
// all pedals and notes are released and the sound goes on until it is silent (-80 dBFS for 0.2 s),
// at most 15 s; messages of the score more than 15 s after the last note are left out.
//   Errors: the SoundFont or the synthesizer (`soundfont_failed` is set then), no room on the disk,
//   a performance longer than kLongestPerformance.
//   Warning: nothing is heard, most likely because the SoundFont lacks the score's programs.
Result<Rendered> render_frames(const Score& score, const Performance& performance,
                               const RenderRequest& request, bool& soundfont_failed);

}  // namespace arsis
