// A performance rendered to an audio file: frames, then their gain, then the file. Several
// renderings that share a gain go through the stages one by one; render_offline is all of them for
// one file.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>

#include "base/diagnostic.h"
#include "score/performance.h"
#include "score/score.h"
#include "sound/audio_file.h"
#include "sound/common_gain.h"
#include "sound/rendering.h"
#include "sound/synthesizer.h"

namespace arsis {

struct OfflineRequest {
  std::filesystem::path soundfont;
  std::filesystem::path target;
  std::string title;
  std::string album;
  std::optional<SampleDepth> depth;  // none: what the format has by default
  SynthesizerSettings synthesizer;
  LevelTarget level;
  int threads = 0;                       // 0: as many as cores
  std::function<void(double)> progress;  // share done, rising from 0 to 1, at most some hundreds of
                                         // times; may be empty
};

struct OfflineReport {
  Seconds length;  // of the file, tail included
  std::uint64_t frames = 0;
  double peak = 0.0;       // largest sample as rendered, 1 at full level
  double scaled_by = 1.0;  // ratio; without a loudness <= 1: below 1 where the peak would have
                           // passed its limit
  std::optional<Lufs> loudness;  // of the file, where a loudness or a true peak was asked for
  bool is_limited = false;       // softer than the loudness asked for, because of the peak
};

// The frames, changed by `gain`, after what `file` holds already.
//   progress  as of RenderRequest, up to 0.99
// Errors: of the file; the temporary file of the frames.
Result<Done> append_audio(Rendered& rendered, Decibels gain, AudioFile& file,
                          const std::function<void(double)>& progress);

// The frames, changed by `gain`, as the whole of `file`, which takes its name then.
//   progress  as of RenderRequest
// Errors: of the file; the temporary file of the frames.
Result<Done> write_audio(Rendered& rendered, Decibels gain, AudioFile& file,
                         const std::function<void(double)>& progress);

// The errors and warnings of render_frames, common_gain and AudioFile. `soundfont_failed` is set
// where the SoundFont or the synthesizer is at fault.
Result<OfflineReport> render_offline(const Score& score, const Performance& performance,
                                     const OfflineRequest& request, bool& soundfont_failed);

}  // namespace arsis
