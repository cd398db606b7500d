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
  kWav,
  kFlac,
  kOgg,   // Vorbis, quality 0.6: about 110 kb/s for a piano
  kOpus,  // 160 kb/s
  kMp3,   // variable bit rate V2: about 110 kb/s for a piano
};

enum class SampleDepth {
  k16,     // bits, with dither: .wav and .flac
  k24,     // bits: .wav and .flac
  kFloat,  // 32 bits: .wav
};

// What is kept beside the sound, each text at most its first 200 bytes without control characters;
// empty ones are left out.
struct AudioTags {
  std::string title;
  std::string album;
  std::string comment = "rendered by arsis";
};

struct AudioSettings {
  // Frames a second, 8,000 to 96,000; the lossy formats take the usual ones only.
  int sample_rate = 48'000;
  // None: 24 bits in .wav and .flac. The lossy formats have no depth.
  std::optional<SampleDepth> depth = std::nullopt;
  // In .mp3 the same number of bytes for each second (256 kb/s from 32 kHz up, about 130 below):
  // then the file's size tells its length and nothing else, as that of a .wav does. Other formats
  // pass it over. Below 32 kHz the encoder turns all of it down by 0.4 dB.
  bool constant_rate = false;
  AudioTags tags = {};
};

// By the file's ending, in small or capital letters; none for others.
std::optional<AudioFormat> audio_format_of(const std::filesystem::path& path);
std::span<const std::string_view> audio_endings();  // ".wav", ".flac", ...

// Whether a file of that name can have that rate and depth; without looking at the disk. Errors:
// the ending is none of ours; the format does not take the rate or has no such depth.
Result<Done> check_audio(const std::filesystem::path& target, const AudioSettings& settings);

// An audio file on its way: beside its target until finish() gives it the target's name.
class AudioFile {
 public:
  // Errors: as of check_audio; the file cannot be made.
  static Result<AudioFile> create(const std::filesystem::path& target,
                                  const AudioSettings& settings);
  AudioFile(AudioFile&&) noexcept;
  AudioFile& operator=(AudioFile&&) = delete;
  ~AudioFile();

  // Left and right in turn, -1 to 1; what lies beyond is clipped, what is no number is silence. For
  // 16 bits a triangular noise of two steps is added (dither), always the same, so that what fades
  // does not end in distortion.
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
