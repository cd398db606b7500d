#include "sound/audio_file.h"

#include <fmt/format.h>
#include <sndfile.h>

#include <algorithm>
#include <array>

#include "base/text.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::array<std::string_view, 5> kEndings = {".wav", ".flac", ".ogg", ".opus", ".mp3"};
constexpr std::array<int, 5> kFormats = {
    SF_FORMAT_WAV | SF_FORMAT_PCM_24, SF_FORMAT_FLAC | SF_FORMAT_PCM_24,
    SF_FORMAT_OGG | SF_FORMAT_VORBIS, SF_FORMAT_OGG | SF_FORMAT_OPUS,
    SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III};

constexpr double kVorbisQuality = 0.6;
// libsndfile takes Opus' bit rate for each channel as (1 - level) * 250 + 6 kb/s.
constexpr double kOpusLevel = 0.704;
constexpr double kMp3Level = 0.2;  // V2 of the encoder's variable bit rates
// libsndfile's Vorbis encoder has a large buffer of its own on the stack for each call.
constexpr std::size_t kFramesAtATime = 2048;

struct FileCloser {
  void operator()(SNDFILE* file) const { sf_close(file); }
};

void set_quality(SNDFILE* file, AudioFormat format) {
  double value = 0.0;
  switch (format) {
    case AudioFormat::kOgg:
      value = kVorbisQuality;
      sf_command(file, SFC_SET_VBR_ENCODING_QUALITY, &value, sizeof value);
      break;
    case AudioFormat::kOpus:
      value = kOpusLevel;
      sf_command(file, SFC_SET_COMPRESSION_LEVEL, &value, sizeof value);
      break;
    case AudioFormat::kMp3: {
      int mode = SF_BITRATE_MODE_VARIABLE;
      sf_command(file, SFC_SET_BITRATE_MODE, &mode, sizeof mode);
      value = kMp3Level;
      sf_command(file, SFC_SET_COMPRESSION_LEVEL, &value, sizeof value);
      break;
    }
    case AudioFormat::kWav:
    case AudioFormat::kFlac:
      break;
  }
}

}  // namespace

struct AudioFile::Handle {
  FileAside aside;
  fs::path target;
  std::unique_ptr<SNDFILE, FileCloser> file;
};

std::optional<AudioFormat> audio_format_of(const fs::path& path) {
  std::string ending = path.extension().string();
  std::ranges::transform(ending, ending.begin(), [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c + 32) : c;
  });
  const auto found = std::ranges::find(kEndings, ending);
  if (found == kEndings.end()) return std::nullopt;
  return static_cast<AudioFormat>(found - kEndings.begin());
}

std::span<const std::string_view> audio_endings() { return kEndings; }

AudioFile::AudioFile(std::unique_ptr<Handle> handle) : handle_(std::move(handle)) {}
AudioFile::AudioFile(AudioFile&&) noexcept = default;
AudioFile::~AudioFile() = default;

Result<AudioFile> AudioFile::create(const fs::path& target, int sample_rate,
                                    const std::string& title) {
  const Where where{.file = target.string()};
  const std::optional<AudioFormat> format = audio_format_of(target);
  if (!format) {
    return fail(where, "the ending names no audio format", "use " + listed(kEndings));
  }
  Result<FileAside> aside = FileAside::beside(target);
  if (!aside) return aside.diagnostics();
  auto handle = std::make_unique<Handle>(Handle{*std::move(aside), target, nullptr});
  SF_INFO info{};
  info.samplerate = sample_rate;
  info.channels = 2;
  info.format = kFormats[static_cast<std::size_t>(*format)];
  if (sf_format_check(&info) == 0) {
    return fail(where, fmt::format("this format does not take {} frames a second", sample_rate),
                "48000 works everywhere");
  }
  handle->file.reset(sf_open(handle->aside.path().string().c_str(), SFM_WRITE, &info));
  if (handle->file == nullptr) {
    return fail(where, fmt::format("cannot be written ({})", sf_strerror(nullptr)));
  }
  SNDFILE* file = handle->file.get();
  set_quality(file, *format);
  sf_command(file, SFC_SET_CLIPPING, nullptr, SF_TRUE);
  if (!title.empty()) sf_set_string(file, SF_STR_TITLE, title.c_str());
  return AudioFile(std::move(handle));
}

Result<Done> AudioFile::write(std::span<const float> interleaved) {
  while (!interleaved.empty()) {
    const std::size_t frames = std::min(kFramesAtATime, interleaved.size() / 2);
    const auto wanted = static_cast<sf_count_t>(frames);
    if (sf_writef_float(handle_->file.get(), interleaved.data(), wanted) != wanted) {
      return fail({.file = handle_->target.string()},
                  fmt::format("cannot be written ({})", sf_strerror(handle_->file.get())));
    }
    interleaved = interleaved.subspan(frames * 2);
  }
  return Done{};
}

Result<Done> AudioFile::finish() {
  SNDFILE* file = handle_->file.release();
  if (sf_close(file) != 0) {
    return fail({.file = handle_->target.string()}, "cannot be written to its end");
  }
  return handle_->aside.commit();
}

}  // namespace arsis
