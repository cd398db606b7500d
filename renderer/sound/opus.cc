#include "sound/opus.h"

#include <fmt/format.h>
#include <sndfile.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <memory>

#include "sound/handles.h"

namespace arsis {
namespace {

constexpr std::uint32_t kStreamNumber = 1;

// A file in memory, with the calls by which libsndfile writes it.
struct MemoryFile {
  Bytes bytes;
  std::size_t at = 0;

  static MemoryFile& of(void* memory) { return *static_cast<MemoryFile*>(memory); }

  static sf_count_t length(void* memory) {
    return static_cast<sf_count_t>(of(memory).bytes.size());
  }

  static sf_count_t tell(void* memory) { return static_cast<sf_count_t>(of(memory).at); }

  static sf_count_t seek(sf_count_t offset, int whence, void* memory) {
    const sf_count_t end = length(memory);
    const sf_count_t from = whence == SEEK_SET ? 0 : whence == SEEK_CUR ? tell(memory) : end;
    of(memory).at = static_cast<std::size_t>(std::clamp<sf_count_t>(from + offset, 0, end));
    return tell(memory);
  }

  static sf_count_t read(void* to, sf_count_t count, void* memory) {
    MemoryFile& from = of(memory);
    const std::size_t size = std::min(static_cast<std::size_t>(count), from.bytes.size() - from.at);
    std::memcpy(to, from.bytes.data() + from.at, size);
    from.at += size;
    return static_cast<sf_count_t>(size);
  }

  static sf_count_t write(const void* from, sf_count_t count, void* memory) {
    MemoryFile& to = of(memory);
    const auto size = static_cast<std::size_t>(count);
    to.bytes.resize(std::max(to.bytes.size(), to.at + size));
    std::memcpy(to.bytes.data() + to.at, from, size);
    to.at += size;
    return count;
  }
};

float within_full_level(float sample) { return std::clamp(sample, -1.0F, 1.0F); }

// Left and right in turn, changed by `scale` and brought to the channels that are wanted, in place.
std::span<float> mixed(std::span<float> samples, float scale, int channels) {
  if (channels == 2) {
    for (float& sample : samples) sample = within_full_level(sample * scale);
    return samples;
  }
  const std::size_t frames = samples.size() / 2;
  for (std::size_t i = 0; i < frames; ++i) {
    samples[i] = within_full_level(0.5F * scale * (samples[2 * i] + samples[2 * i + 1]));
  }
  return samples.first(frames);
}

// libsndfile takes Opus' bit rate for each channel as (1 - level) * 250 + 6 kb/s.
double compression_level(const OpusSettings& settings) {
  const double each = static_cast<double>(settings.kilobits) / settings.channels;
  return std::clamp(1.0 - (each - 6.0) / 250.0, 0.0, 1.0);
}

Diagnostics not_coded(const char* why) {
  return fail({}, fmt::format("cannot be coded as Opus ({})", why));
}

constexpr std::array<std::uint32_t, 256> kOggSums = [] {
  std::array<std::uint32_t, 256> sums{};
  for (std::uint32_t byte = 0; byte < 256; ++byte) {
    std::uint32_t sum = byte << 24;
    for (int bit = 0; bit < 8; ++bit) sum = (sum << 1) ^ ((sum >> 31) * 0x04c1'1db7u);
    sums[byte] = sum;
  }
  return sums;
}();

void put_little_endian(std::span<std::uint8_t> to, std::uint32_t value) {
  for (std::size_t i = 0; i < 4; ++i) to[i] = static_cast<std::uint8_t>(value >> (8 * i));
}

}  // namespace

void number_ogg_stream(Bytes& ogg, std::uint32_t number) {
  constexpr std::size_t kHead = 27;  // bytes before the table of segments
  std::span<std::uint8_t> left(ogg);
  while (left.size() >= kHead && std::memcmp(left.data(), "OggS", 4) == 0) {
    const std::size_t segments = left[26];
    if (left.size() < kHead + segments) return;
    std::size_t size = kHead + segments;
    for (const std::uint8_t segment : left.subspan(kHead, segments)) size += segment;
    if (left.size() < size) return;
    const std::span<std::uint8_t> page = left.first(size);
    put_little_endian(page.subspan(14), number);
    put_little_endian(page.subspan(22), 0);
    std::uint32_t sum = 0;
    for (const std::uint8_t byte : page) sum = (sum << 8) ^ kOggSums[(sum >> 24) ^ byte];
    put_little_endian(page.subspan(22), sum);
    left = left.subspan(size);
  }
}

Result<Bytes> opus_of(FrameStore& frames, Decibels gain, const OpusSettings& settings) {
  MemoryFile memory;
  SF_VIRTUAL_IO calls{MemoryFile::length, MemoryFile::seek, MemoryFile::read, MemoryFile::write,
                      MemoryFile::tell};
  SF_INFO info{};
  info.samplerate = settings.sample_rate;
  info.channels = settings.channels;
  info.format = SF_FORMAT_OGG | SF_FORMAT_OPUS;
  std::unique_ptr<SNDFILE, SoundFileCloser> file(
      sf_open_virtual(&calls, SFM_WRITE, &info, &memory));
  if (file == nullptr) return not_coded(sf_strerror(nullptr));
  double level = compression_level(settings);
  sf_command(file.get(), SFC_SET_COMPRESSION_LEVEL, &level, sizeof level);
  const auto scale = static_cast<float>(to_ratio(gain));
  const Result<Done> coded = frames.each([&](std::span<float> samples) -> Result<Done> {
    const std::span<float> mix = mixed(samples, scale, settings.channels);
    const auto count = static_cast<sf_count_t>(mix.size());
    if (sf_write_float(file.get(), mix.data(), count) != count)
      return not_coded(sf_strerror(file.get()));
    return Done{};
  });
  if (!coded) return coded.diagnostics();
  if (const int closed = sf_close(file.release()); closed != 0)
    return not_coded(sf_error_number(closed));
  number_ogg_stream(memory.bytes, kStreamNumber);
  return std::move(memory.bytes);
}

}  // namespace arsis
