#include "sound/sample_file.h"

#include <fmt/format.h>
#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <memory>
#include <string>

#include "sound/handles.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::uintmax_t kLargestFile = 64'000'000;  // bytes: a minute of 24-bit stereo, and more
constexpr int kSlowest = 8'000;
constexpr int kFastest = 192'000;

// What speaks against a file of this form; empty where nothing does.
std::string fault_of(const SF_INFO& info) {
  if (info.channels < 1 || info.channels > 2) {
    return fmt::format("has {} channels", info.channels);
  }
  if (info.samplerate < kSlowest || info.samplerate > kFastest) {
    return fmt::format("has {} frames a second", info.samplerate);
  }
  if (info.frames < 1) return "holds no sound";
  if (static_cast<double>(info.frames) > kLongestSample.value * info.samplerate) {
    return fmt::format("is longer than {} s", kLongestSample.value);
  }
  return {};
}

}  // namespace

Result<RecordedSample> read_sample(const fs::path& path) {
  const Where where{.file = path.string()};
  std::error_code failure;
  if (!fs::is_regular_file(path, failure)) return fail(where, "no such file", "name a sound file");
  const std::uintmax_t size = fs::file_size(path, failure);
  if (failure) return fail(where, fmt::format("cannot be read ({})", failure.message()));
  if (size > kLargestFile) {
    return fail(where, fmt::format("too large ({} bytes)", size),
                fmt::format("at most {} bytes are read", kLargestFile));
  }
  SF_INFO info{};
  const std::unique_ptr<SNDFILE, SoundFileCloser> file(sf_open(path.c_str(), SFM_READ, &info));
  if (file == nullptr) {
    return fail(where, fmt::format("is no sound file ({})", sf_strerror(nullptr)),
                "it may be damaged; fetch it anew");
  }
  if (const std::string fault = fault_of(info); !fault.empty()) {
    return fail(where, fault,
                fmt::format("one or two channels, {} to {} frames a second, at most {} s are taken",
                            kSlowest, kFastest, kLongestSample.value));
  }
  const auto frames = static_cast<std::size_t>(info.frames);
  const auto channels = static_cast<std::size_t>(info.channels);
  std::vector<float> interleaved(frames * channels);
  const sf_count_t read = sf_readf_float(file.get(), interleaved.data(), info.frames);
  if (read != info.frames) {
    return fail(where, fmt::format("is cut short ({} of {} frames)", read, info.frames),
                "fetch it anew");
  }
  if (!std::ranges::all_of(interleaved, [](float sample) { return std::isfinite(sample); })) {
    return fail(where, "holds samples that are no numbers", "fetch it anew");
  }
  RecordedSample sample{info.samplerate, std::vector<float>(frames), std::vector<float>(frames)};
  for (std::size_t i = 0; i < frames; ++i) {
    sample.left[i] = interleaved[i * channels];
    sample.right[i] = interleaved[i * channels + channels - 1];
  }
  return sample;
}

}  // namespace arsis
