// Audio files as a test reads them: what was written, sample by sample.
#pragma once

#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <string>
#include <vector>

namespace arsis::test {

struct Recording {
  int rate = 0;  // frames a second; 0: the file could not be read
  int channels = 0;
  std::string title;
  std::vector<float> left;
  std::vector<float> right;
};

// A stereo file; an empty recording where there is none.
inline Recording read_recording(const std::filesystem::path& path) {
  SF_INFO info{};
  SNDFILE* file = sf_open(path.string().c_str(), SFM_READ, &info);
  Recording recording;
  if (file == nullptr) return recording;
  std::vector<float> samples(static_cast<std::size_t>(info.frames) * 2);
  const sf_count_t frames = sf_readf_float(file, samples.data(), info.frames);
  const char* title = sf_get_string(file, SF_STR_TITLE);
  recording.title = title == nullptr ? "" : title;
  recording.rate = info.samplerate;
  recording.channels = info.channels;
  for (sf_count_t i = 0; i < frames; ++i) {
    recording.left.push_back(samples[static_cast<std::size_t>(2 * i)]);
    recording.right.push_back(samples[static_cast<std::size_t>(2 * i + 1)]);
  }
  sf_close(file);
  return recording;
}

// RMS level in dB over [from, to) seconds of the left channel.
inline double level_db(const Recording& recording, double from, double to) {
  const auto first = static_cast<std::size_t>(from * recording.rate);
  const auto last = std::min(static_cast<std::size_t>(to * recording.rate), recording.left.size());
  double sum = 0.0;
  for (std::size_t i = first; i < last; ++i) sum += recording.left[i] * recording.left[i];
  return 10.0 * std::log10(sum / static_cast<double>(last - first));
}

// The largest magnitude in both channels; not a number where a sample is none.
inline double peak_of(const Recording& recording) {
  double peak = 0.0;
  for (const std::vector<float>* channel : {&recording.left, &recording.right}) {
    for (const float sample : *channel) peak = std::abs(sample) <= peak ? peak : std::abs(sample);
  }
  return peak;
}

}  // namespace arsis::test
