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
  std::string album;
  std::string comment;
  std::vector<float> left;
  std::vector<float> right;
};

// A stereo file, or a mono one, both of whose sides are then the same; an empty recording where
// there is none.
inline Recording read_recording(const std::filesystem::path& path) {
  SF_INFO info{};
  SNDFILE* file = sf_open(path.string().c_str(), SFM_READ, &info);
  Recording recording;
  if (file == nullptr) return recording;
  const auto channels = static_cast<std::size_t>(info.channels);
  std::vector<float> samples(static_cast<std::size_t>(info.frames) * channels);
  const sf_count_t frames = sf_readf_float(file, samples.data(), info.frames);
  const auto tag = [&](int kind) {
    const char* text = sf_get_string(file, kind);
    return std::string(text == nullptr ? "" : text);
  };
  recording.title = tag(SF_STR_TITLE);
  recording.album = tag(SF_STR_ALBUM);
  recording.comment = tag(SF_STR_COMMENT);
  recording.rate = info.samplerate;
  recording.channels = info.channels;
  for (std::size_t i = 0; i < static_cast<std::size_t>(frames); ++i) {
    recording.left.push_back(samples[channels * i]);
    recording.right.push_back(samples[channels * i + channels - 1]);
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

// When sounds begin in the left channel: each rise over a ten-thousandth of full level, in seconds,
// that is 20 ms or more after the one before.
inline std::vector<double> onsets_in(const Recording& recording) {
  std::vector<double> onsets;
  for (std::size_t i = 0; i < recording.left.size(); ++i) {
    const double time = static_cast<double>(i) / recording.rate;
    const bool far = onsets.empty() || time - onsets.back() > 0.02;
    if (std::abs(recording.left[i]) > 1e-4F && far) onsets.push_back(time);
  }
  return onsets;
}

// The error that 99 of 100 onsets keep within; the rows are of one length.
inline double error_of_99_in_100(const std::vector<double>& heard,
                                 const std::vector<double>& wanted) {
  std::vector<double> errors;
  for (std::size_t i = 0; i < heard.size(); ++i) errors.push_back(std::abs(heard[i] - wanted[i]));
  std::ranges::sort(errors);
  return errors[errors.size() * 99 / 100];
}

}  // namespace arsis::test
