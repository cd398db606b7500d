// One recorded note, read from an audio file (libsndfile) into memory.
#pragma once

#include <filesystem>
#include <vector>

#include "base/diagnostic.h"
#include "base/units.h"

namespace arsis {

inline constexpr Seconds kLongestSample{60.0};

// Both channels, 1 at full level, equally long; those of a file of one channel are the same.
struct RecordedSample {
  int sample_rate = 48'000;  // frames a second, 8,000 to 192,000
  std::vector<float> left;
  std::vector<float> right;
};

// The whole of an audio file of one or two channels, at least one frame and at most kLongestSample,
// in at most 64 MB. Errors: not there, too large, no audio file, channels or frames beyond that,
// cut short, samples that are no number.
Result<RecordedSample> read_sample(const std::filesystem::path& path);

}  // namespace arsis
