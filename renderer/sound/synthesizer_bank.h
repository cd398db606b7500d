// Several synthesizers that sound as one: each plays its share of the notes, on as many cores as
// there are, and their sum is what one alone would play, with every note nearer to its time.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <span>
#include <vector>

#include "base/diagnostic.h"
#include "score/score.h"
#include "sound/synthesizer.h"
#include "sound/timeline.h"

namespace arsis {

struct BankSettings {
  SynthesizerSettings synthesizer;
  // Frames of each synthesizer before time 0, 0 to kBlock - 1. How many there are decides how it
  // sounds, and so must not follow the machine. Four bring notes within 8 frames (0.17 ms at 48
  // kHz); more would cost more reverbs than they are worth.
  std::vector<int> leads = {0, 16, 32, 48};
  int threads = 0;  // that share the work; 0: as many as cores. At most one a synthesizer is used
};

class SynthesizerBank {
 public:
  // What is done with the next frames, left and right in turn. False: no more are wanted.
  using Take = std::function<Result<bool>(std::span<const float>)>;

  // Errors: as of Synthesizer::with.
  static Result<SynthesizerBank> with(const std::filesystem::path& soundfont,
                                      const BankSettings& settings);

  // Renders `frames` frames from time 0, or fewer where `take` wants no more; hands them to `take`
  // in order, some thousands at a time, on the calling thread. The same messages give the same
  // frames with any number of threads. Once only. Errors: of `take`.
  //   messages  in order of time, from 0 on; those of one time keep their order
  Result<Done> render(const Score& score, std::span<const TimedMessage> messages,
                      std::uint64_t frames, const Take& take);

 private:
  SynthesizerBank(std::vector<Synthesizer> synthesizers, const BankSettings& settings);

  std::vector<Synthesizer> synthesizers_;
  BankSettings settings_;
};

}  // namespace arsis
