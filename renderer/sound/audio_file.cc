// libsndfile writes through a file of our own: it reports a full disk for WAV and FLAC only, and
// for the lossy formats neither at a write nor at the close.
#include "sound/audio_file.h"

#include <fmt/format.h>
#include <sndfile.h>
#include <sys/types.h>

#include <algorithm>
#include <array>
#include <cassert>
#include <cerrno>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <random>

#include "base/text.h"
#include "sound/handles.h"

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr std::array<std::string_view, 5> kEndings = {".wav", ".flac", ".ogg", ".opus", ".mp3"};
// Of WAV and FLAC the container alone: the depth says the rest.
constexpr std::array<int, 5> kFormats = {
    SF_FORMAT_WAV, SF_FORMAT_FLAC, SF_FORMAT_OGG | SF_FORMAT_VORBIS, SF_FORMAT_OGG | SF_FORMAT_OPUS,
    SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III};

constexpr double kVorbisQuality = 0.6;
// libsndfile takes Opus' bit rate for each channel as (1 - level) * 250 + 6 kb/s.
constexpr double kOpusLevel = 0.704;
constexpr double kMp3Level = 0.2;  // V2 of the encoder's variable bit rates
// libsndfile takes the constant ones as 320 - level * 288 kb/s, at low rates 160 - level * 152.
// This is the lowest that the encoder does not turn down, measured with LAME 3.100: 0.2 dB at 192
// kb/s.
constexpr double kMp3ConstantLevel = 0.2;
// libsndfile's Vorbis encoder has a large buffer of its own on the stack for each call.
constexpr std::size_t kFramesAtATime = 2048;
constexpr std::size_t kLongestTag = 200;  // bytes; libsndfile drops what is much longer
// A RIFF form counts its bytes in 32 bits; the rest is room for its header and tags.
constexpr std::uint64_t kMostWavBytes = 0xFFFFFFFFu - 65'536u;
constexpr double kMost16 = 32'767.0;

struct CFileCloser {
  void operator()(std::FILE* file) const { std::fclose(file); }
};

// The file that libsndfile writes to, and what went wrong there.
struct Sink {
  std::unique_ptr<std::FILE, CFileCloser> file;
  int failure = 0;  // errno of the first failure

  void note(bool done) {
    if (!done && failure == 0) failure = errno != 0 ? errno : EIO;
  }
};

std::FILE* file_of(void* sink) { return static_cast<Sink*>(sink)->file.get(); }

sf_count_t tell(void* sink) { return ::ftello(file_of(sink)); }

sf_count_t seek(sf_count_t offset, int whence, void* sink) {
  static_cast<Sink*>(sink)->note(::fseeko(file_of(sink), offset, whence) == 0);
  return tell(sink);
}

sf_count_t length(void* sink) {
  const sf_count_t here = tell(sink);
  const sf_count_t end = seek(0, SEEK_END, sink);
  seek(here, SEEK_SET, sink);
  return end;
}

sf_count_t read(void* to, sf_count_t count, void* sink) {
  return static_cast<sf_count_t>(std::fread(to, 1, static_cast<std::size_t>(count), file_of(sink)));
}

sf_count_t write(const void* from, sf_count_t count, void* sink) {
  errno = 0;
  const auto wanted = static_cast<std::size_t>(count);
  const std::size_t written = std::fwrite(from, 1, wanted, file_of(sink));
  static_cast<Sink*>(sink)->note(written == wanted);
  return static_cast<sf_count_t>(written);
}

SNDFILE* open_through(Sink& sink, SF_INFO& info) {
  SF_VIRTUAL_IO calls{length, seek, read, write, tell};
  return sf_open_virtual(&calls, SFM_WRITE, &info, &sink);
}

// What every encoder takes: a SoundFont may make numbers that are none.
float fit(float sample) { return std::isfinite(sample) ? std::clamp(sample, -1.0F, 1.0F) : 0.0F; }

// Source: RFC 6716 section 2 (Opus), ISO 11172-3 and 13818-3 with the usual half rates (MP3); for
// the others what the synthesizer can do.
bool takes(AudioFormat format, int sample_rate) {
  constexpr std::array kOpusRates = {8'000, 12'000, 16'000, 24'000, 48'000};
  constexpr std::array kMp3Rates = {8'000,  11'025, 12'000, 16'000, 22'050,
                                    24'000, 32'000, 44'100, 48'000};
  switch (format) {
    case AudioFormat::kOpus:
      return std::ranges::find(kOpusRates, sample_rate) != kOpusRates.end();
    case AudioFormat::kMp3:
      return std::ranges::find(kMp3Rates, sample_rate) != kMp3Rates.end();
    case AudioFormat::kWav:
    case AudioFormat::kFlac:
    case AudioFormat::kOgg:
      break;
  }
  return sample_rate >= 8'000 && sample_rate <= 96'000;
}

std::uint64_t bytes_a_frame(SampleDepth depth) {
  switch (depth) {
    case SampleDepth::k16:
      return 4;
    case SampleDepth::k24:
      return 6;
    case SampleDepth::kFloat:
      break;
  }
  return 8;
}

int code_of(SampleDepth depth) {
  switch (depth) {
    case SampleDepth::k16:
      return SF_FORMAT_PCM_16;
    case SampleDepth::k24:
      return SF_FORMAT_PCM_24;
    case SampleDepth::kFloat:
      break;
  }
  return SF_FORMAT_FLOAT;
}

bool has_depth(AudioFormat format) {
  return format == AudioFormat::kWav || format == AudioFormat::kFlac;
}

int code_of(AudioFormat format, SampleDepth depth) {
  const int code = kFormats[static_cast<std::size_t>(format)];
  return has_depth(format) ? code | code_of(depth) : code;
}

// Samples of 16 bits: rounded after a noise of triangular density, one step to each side, has made
// the error independent of the sound.
// Source: Lipshitz, Wannamaker & Vanderkooy 1992, Quantization and dither (from memory).
class Dither {
 public:
  std::int16_t operator()(float sample) {
    const double noisy = double{sample} * (kMost16 + 1.0) + uniform() - uniform();
    return static_cast<std::int16_t>(std::lround(std::clamp(noisy, -kMost16 - 1.0, kMost16)));
  }

 private:
  double uniform() { return static_cast<double>(random_()) * 0x1p-32; }
  std::mt19937 random_;  // of its standard's seed: the same noise each time
};

void set_tags(SNDFILE* file, const AudioTags& tags) {
  const auto set = [&](int kind, const std::string& text) {
    if (!text.empty()) sf_set_string(file, kind, printable(text, kLongestTag).c_str());
  };
  set(SF_STR_TITLE, tags.title);
  set(SF_STR_ALBUM, tags.album);
  set(SF_STR_COMMENT, tags.comment);
}

void set_quality(SNDFILE* file, AudioFormat format, bool constant_rate) {
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
      int mode = constant_rate ? SF_BITRATE_MODE_CONSTANT : SF_BITRATE_MODE_VARIABLE;
      sf_command(file, SFC_SET_BITRATE_MODE, &mode, sizeof mode);
      value = constant_rate ? kMp3ConstantLevel : kMp3Level;
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
  AudioFormat format = AudioFormat::kWav;
  SampleDepth depth = SampleDepth::k24;  // where the format has one
  std::uint64_t frames = 0;
  Dither dither = {};
  Sink sink = {};
  std::unique_ptr<SNDFILE, SoundFileCloser> file = nullptr;  // goes before its sink

  Diagnostics failed(std::string_view why) const {
    return fail({.file = target.string()}, fmt::format("cannot be written ({})", why));
  }

  // At most kFramesAtATime frames; how many were written.
  sf_count_t put(std::span<const float> interleaved) {
    const auto wanted = static_cast<sf_count_t>(interleaved.size() / 2);
    if (has_depth(format) && depth == SampleDepth::k16) {
      std::array<std::int16_t, 2 * kFramesAtATime> samples;
      std::ranges::transform(interleaved, samples.begin(),
                             [this](float sample) { return dither(fit(sample)); });
      return sf_writef_short(file.get(), samples.data(), wanted);
    }
    std::array<float, 2 * kFramesAtATime> samples;
    std::ranges::transform(interleaved, samples.begin(), fit);
    return sf_writef_float(file.get(), samples.data(), wanted);
  }
};

std::optional<AudioFormat> audio_format_of(const fs::path& path) {
  const std::string ending = lower_case(path.extension().string());
  const auto found = std::ranges::find(kEndings, ending);
  if (found == kEndings.end()) return std::nullopt;
  return static_cast<AudioFormat>(found - kEndings.begin());
}

std::span<const std::string_view> audio_endings() { return kEndings; }

AudioFile::AudioFile(std::unique_ptr<Handle> handle) : handle_(std::move(handle)) {}
AudioFile::AudioFile(AudioFile&&) noexcept = default;
AudioFile::~AudioFile() = default;

Result<Done> check_audio(const fs::path& target, const AudioSettings& settings) {
  const Where where{.file = target.string()};
  const std::optional<AudioFormat> format = audio_format_of(target);
  if (!format) {
    return fail(where, "the ending names no audio format", "use " + listed(kEndings));
  }
  if (!takes(*format, settings.sample_rate)) {
    return fail(where,
                fmt::format("this format does not take {} frames a second", settings.sample_rate),
                "48000 works everywhere");
  }
  if (settings.depth && !has_depth(*format)) {
    return fail(where, "this format has no bit depth", "name none, or write .wav or .flac");
  }
  if (settings.depth == SampleDepth::kFloat && *format == AudioFormat::kFlac) {
    return fail(where, "this format has no samples of 32f", "16 or 24 bits are possible");
  }
  return Done{};
}

Result<AudioFile> AudioFile::create(const fs::path& target, const AudioSettings& settings) {
  if (const Result<Done> possible = check_audio(target, settings); !possible) {
    return possible.diagnostics();
  }
  const AudioFormat format = *audio_format_of(target);
  const SampleDepth depth = settings.depth.value_or(SampleDepth::k24);
  Result<FileAside> aside = FileAside::beside(target);
  if (!aside) return aside.diagnostics();
  SF_INFO info{};
  info.samplerate = settings.sample_rate;
  info.channels = 2;
  info.format = code_of(format, depth);
  auto handle = std::make_unique<Handle>(Handle{*std::move(aside), target, format, depth});
  handle->sink.file.reset(std::fopen(handle->aside.path().c_str(), "w+b"));
  if (handle->sink.file == nullptr) return handle->failed(std::strerror(errno));
  handle->file.reset(open_through(handle->sink, info));
  SNDFILE* file = handle->file.get();
  if (file == nullptr) return handle->failed(sf_strerror(nullptr));
  set_quality(file, format, settings.constant_rate);
  sf_command(file, SFC_SET_CLIPPING, nullptr, SF_TRUE);
  // It holds the time of writing, which would make two equal files differ.
  sf_command(file, SFC_SET_ADD_PEAK_CHUNK, nullptr, SF_FALSE);
  set_tags(file, settings.tags);
  return AudioFile(std::move(handle));
}

Result<Done> AudioFile::write(std::span<const float> interleaved) {
  assert(interleaved.size() % 2 == 0);
  handle_->frames += interleaved.size() / 2;
  if (handle_->format == AudioFormat::kWav &&
      handle_->frames > kMostWavBytes / bytes_a_frame(handle_->depth)) {
    return fail({.file = handle_->target.string()}, "is too long for a WAV file (4 GiB)",
                "write .flac instead");
  }
  while (!interleaved.empty()) {
    const std::size_t count = std::min(2 * kFramesAtATime, interleaved.size());
    const sf_count_t written = handle_->put(interleaved.first(count));
    if (handle_->sink.failure != 0) return handle_->failed(std::strerror(handle_->sink.failure));
    if (written != static_cast<sf_count_t>(count / 2)) {
      return handle_->failed(sf_strerror(handle_->file.get()));
    }
    interleaved = interleaved.subspan(count);
  }
  return Done{};
}

Result<Done> AudioFile::finish() {
  Sink& sink = handle_->sink;
  const int closed = sf_close(handle_->file.release());
  errno = 0;
  sink.note(std::fflush(sink.file.get()) == 0);
  sink.note(std::fclose(sink.file.release()) == 0);
  if (sink.failure != 0) return handle_->failed(std::strerror(sink.failure));
  if (closed != 0) return handle_->failed(sf_error_number(closed));
  return handle_->aside.commit();
}

}  // namespace arsis
