// A performance rendered to an audio file, faster than it sounds.
#pragma once

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
  std::function<void(double)> progress;  // share done, 0..1; may be empty
};

struct OfflineReport {
  Seconds length;
  double peak = 0.0;       // largest sample as rendered, 1 at full level
  double scaled_by = 1.0;  // ratio <= 1: below 1 where the peak would have passed -1 dBFS
};

// Messages take effect at the nearest block of 64 frames: within 0.7 ms at 48 kHz. After the last
// one all pedals are released and the sound goes on until it is silent (-80 dBFS for 0.2 s), at
// most 15 s. A peak over -1 dBFS scales the whole down to it; nothing is ever scaled up, so that
// what is soft stays soft. Errors: the SoundFont (`soundfont_failed` is set then), the file, a
// performance longer than six hours.
Result<OfflineReport> render_offline(const Score& score, const Performance& performance,
                                     const OfflineRequest& request, bool& soundfont_failed);

}  // namespace arsis
