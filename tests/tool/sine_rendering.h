// Performances heard through a SoundFont of one sine wave, without reverb.
#pragma once

#include <gtest/gtest.h>

#include "score/performance.h"
#include "score/score.h"
#include "sound/offline.h"
#include "sound/recording.h"
#include "sound/sine_soundfont.h"
#include "tool/run_arsis.h"

namespace arsis::test {

inline Recording sine_rendering(const Score& score, const Performance& performance) {
  const Folder folder;
  OfflineRequest request;
  request.soundfont = folder.path() / "sine.sf2";
  request.target = folder.path() / "x.wav";
  request.synthesizer.reverb = false;
  write_soundfont(request.soundfont, Wave::kSine);
  bool soundfont_failed = false;
  EXPECT_TRUE(render_offline(score, performance, request, soundfont_failed));
  return read_recording(request.target);
}

}  // namespace arsis::test
