// Several performances of the same music rendered at a time, each by a synthesizer of its own, so
// that they can be compared.
#pragma once

#include <filesystem>
#include <functional>
#include <span>
#include <vector>

#include "base/diagnostic.h"
#include "score/performance.h"
#include "score/score.h"
#include "sound/loudness.h"
#include "sound/opus.h"
#include "sound/rendering.h"

namespace arsis {

// What is to sound. Both must outlive the call.
struct ClipSource {
  const Score* score = nullptr;
  const Performance* performance = nullptr;
};

struct SideBySideSettings {
  std::filesystem::path soundfont;
  std::filesystem::path soundfont_beneath;  // as of SynthesizerSettings
  std::filesystem::path beside;  // the file to be written: long pieces are kept beside it meanwhile
  bool reverb = true;
  int sample_rate = 48'000;              // frames a second, 8,000 to 96,000
  PeakKind peak = PeakKind::kTrue;       // of the meters
  int threads = 0;                       // 0: as many as cores
  std::function<void(double)> progress;  // share done, rising, on any thread but one at a time;
                                         // may be empty
};

// The renderings in the sources' order, each with a meter. Notes begin within 32 frames of their
// moment (0.7 ms at 48 kHz). The same performances give the same frames with any number of threads.
//   Errors: as of render_frames (`soundfont_failed` likewise).
//   Warnings: of render_frames, each once.
Result<std::vector<Rendered>> render_side_by_side(std::span<const ClipSource> sources,
                                                  const SideBySideSettings& settings,
                                                  bool& soundfont_failed);

// Each as an Ogg Opus file of its own, changed by its gain; errors of opus_of(). The same bytes
// with any number of threads.
//   gains     one for each rendering
//   threads   0: as many as cores
//   progress  as of SideBySideSettings
Result<std::vector<Bytes>> code_side_by_side(std::span<Rendered> rendered,
                                             std::span<const Decibels> gains,
                                             const OpusSettings& opus, int threads,
                                             const std::function<void(double)>& progress);

}  // namespace arsis
