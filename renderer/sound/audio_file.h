// Audio files (libsndfile): stereo, by the ending of their name. The same sound gives the same
// bytes in .wav, .flac and .mp3; .ogg and .opus carry a stream number that differs each time.
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
  kOgg,   // Vorbis, quality 0.6: about 110 kb/s for a piano
  kOpus,  // 160 kb/s
  kMp3,   // variable bit rate V2: about 110 kb/s for a piano
};

// By the file's ending, in small or capital letters; none for others.
std::optional<AudioFormat> audio_format_of(const std::filesystem::path& path);
std::span<const std::string_view> audio_endings();  // ".wav", ".flac", ...

// An audio file on its way: beside its target until finish() gives it the target's name.
class AudioFile {
 public:
  //   title        stored as a tag, its first 200 bytes without control characters; may be empty
  //   sample_rate  frames a second; the lossy formats take the usual ones only
  // Errors: the ending is none of ours; the file cannot be made; the format does not take the rate.
  static Result<AudioFile> create(const std::filesystem::path& target, int sample_rate,
                                  const std::string& title);
  AudioFile(AudioFile&&) noexcept;
  AudioFile& operator=(AudioFile&&) = delete;
  ~AudioFile();

  // Left and right in turn, -1 to 1; what lies beyond is clipped, what is no number is silence.
  // Errors: no room on the disk, in any format; a WAV file of more than 4 GiB. After an error the
  // file is only good to be dropped.
  Result<Done> write(std::span<const float> interleaved);
  // Gives the file its target's name; nothing may follow. Errors: as above.
  Result<Done> finish();

 private:
  struct Handle;
  explicit AudioFile(std::unique_ptr<Handle> handle);
  std::unique_ptr<Handle> handle_;
};

}  // namespace arsis
