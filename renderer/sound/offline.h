// A performance rendered to an audio file, faster than it sounds.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>

#include "base/diagnostic.h"
#include "score/performance.h"
#include "score/score.h"
#include "sound/synthesizer.h"

namespace arsis {

struct OfflineRequest {
  std::filesystem::path soundfont;
  std::filesystem::path target;
  std::string title;
  SynthesizerSettings synthesizer;
  std::function<void(double)> progress;  // share done, rising from 0 to 1, at most some hundreds of
                                         // times; may be empty
};

struct OfflineReport {
  Seconds length;  // of the file, tail included
  std::uint64_t frames = 0;
  double peak = 0.0;       // largest sample as rendered, 1 at full level
  double scaled_by = 1.0;  // ratio <= 1: below 1 where the peak would have passed -1 dBFS
};

// Longer than any piece for one player, and all that a WAV file of 24 bits and 48 kHz can hold.
inline constexpr Seconds kLongestPerformance{4.0 * 3600.0};

// Messages take effect at the nearest block of 64 frames: within 0.7 ms at 48 kHz. The file starts
// with the performance's time 0. After the last message all pedals and notes are released and the
// sound goes on until it is silent (-80 dBFS for 0.2 s), at most 15 s; messages of the score more
// than 15 s after the last note are left out. A peak over -1 dBFS scales the whole down to it;
// nothing is ever scaled up, so that what is soft stays soft.
//   Errors: the SoundFont or the synthesizer (`soundfont_failed` is set then), the file, a
//   performance longer than kLongestPerformance.
//   Warning: nothing is heard, most likely because the SoundFont lacks the score's programs.
Result<OfflineReport> render_offline(const Score& score, const Performance& performance,
                                     const OfflineRequest& request, bool& soundfont_failed);

}  // namespace arsis
