// Several performances as sounds in memory that are compared with one another: rendered side by
// side, matched in loudness, coded as Opus within a bound on their size. For pages that carry their
// sound inside.
#pragma once

#include <cstddef>
#include <filesystem>
#include <functional>
#include <span>
#include <vector>

#include "base/diagnostic.h"
#include "base/files.h"
#include "sound/side_by_side.h"

namespace arsis {

struct ClipSettings {
  std::filesystem::path soundfont;
  std::filesystem::path soundfont_beneath;  // as of SynthesizerSettings
  std::filesystem::path beside;  // the file to be written: long pieces are kept beside it meanwhile
  bool reverb = true;
  std::size_t most_bytes = 5'400'000;    // of all clips together, about; decides on the bit rate
  int threads = 0;                       // 0: as many as cores
  std::function<void(double)> progress;  // share done, rising, on any thread but one at a time; may
                                         // be empty
};

struct Clip {
  Bytes opus;      // an Ogg Opus file
  Seconds length;  // tail included
};

struct ClipSet {
  std::vector<Clip> clips;  // one for each source, in their order
  int sample_rate = 0;      // frames a second
  int channels = 0;         // 1 or 2
};

// What so many seconds of sound are coded with, so that they take `most_bytes` or less: 48 kb/s in
// stereo while there is room for that, then mono, 40 kb/s down to 16 (below
// which it is 16, and takes more).
struct ClipQuality {
  int channels = 2;
  int kilobits = 48;  // a second
};
ClipQuality clip_quality(Seconds total, std::size_t most_bytes);

// Notes begin within 32 frames of their moment (1.3 ms at 24 kHz): one synthesizer for each
// performance, and as many performances at a time as threads. The gains are those of
// matched_gains(): nothing is turned up. The same performances give the same bytes on one machine.
//   Errors: as of render_frames (`soundfont_failed` likewise); the encoder's.
//   Warnings: of render_frames, each once; of matched_gains.
Result<ClipSet> render_clips(std::span<const ClipSource> sources, const ClipSettings& settings,
                             bool& soundfont_failed);

}  // namespace arsis
