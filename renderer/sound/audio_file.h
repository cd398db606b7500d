// Audio files (libsndfile): stereo, by the ending of their name.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "base/diagnostic.h"
#include "base/files.h"

namespace arsis {

enum class AudioFormat {
  kWav,   // 24-bit PCM
  kFlac,  // 24-bit
  kOgg,   // Vorbis, quality 0.6 (about 190 kb/s)
  kOpus,  // about 160 kb/s
  kMp3,   // variable bit rate, about 190 kb/s
};

// By the file's ending, in small or capital letters; none for others.
std::optional<AudioFormat> audio_format_of(const std::filesystem::path& path);
std::span<const std::string_view> audio_endings();  // ".wav", ".flac", ...

// An audio file on its way: beside its target until finish() gives it the target's name.
class AudioFile {
 public:
  // `title` is stored as a tag, if not empty. Errors: the ending is none of ours; the file cannot
  // be made; the format does not take the sample rate.
  static Result<AudioFile> create(const std::filesystem::path& target, int sample_rate,
                                  const std::string& title);
  AudioFile(AudioFile&&) noexcept;
  AudioFile& operator=(AudioFile&&) = delete;
  ~AudioFile();

  // Left and right in turn, -1 to 1; what lies beyond is clipped.
  Result<Done> write(std::span<const float> interleaved);
  Result<Done> finish();

 private:
  struct Handle;
  explicit AudioFile(std::unique_ptr<Handle> handle);
  std::unique_ptr<Handle> handle_;
};

}  // namespace arsis
