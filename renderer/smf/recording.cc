#include "smf/recording.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>
#include <string_view>
#include <utility>

#include "base/text.h"
#include "smf/variable_length.h"

namespace arsis {
namespace {

constexpr std::uint8_t kTextType = 0x01;  // of meta events
constexpr std::uint8_t kNameType = 0x03;
constexpr std::uint8_t kTempoType = 0x51;
constexpr std::string_view kRecordedOn = "recorded ";  // then the date
constexpr std::size_t kLongestText = 100;              // bytes: a length of one byte in the file
constexpr long kLengthAt = 18;                         // of the track's length in the file

// Events as MidiEvent has them.
std::vector<Bytes> head_events(const RecordingHead& head) {
  const auto text = [](std::uint8_t type, std::string_view words) {
    Bytes event = {kMeta, type};
    event.insert(event.end(), words.begin(), words.end());
    return event;
  };
  const std::int64_t tempo = head.microseconds_per_quarter;
  return {text(kNameType, printable(head.title, kLongestText)),
          text(kTextType, std::string(kRecordedOn) + printable(head.date, kLongestText / 2)),
          {kMeta, kTempoType, static_cast<std::uint8_t>(tempo >> 16 & 0xFF),
           static_cast<std::uint8_t>(tempo >> 8 & 0xFF), static_cast<std::uint8_t>(tempo & 0xFF)}};
}

std::int64_t tick_of(Seconds at, std::int64_t microseconds_per_quarter) {
  const double quarters = at.value * 1e6 / static_cast<double>(microseconds_per_quarter);
  return std::llround(std::max(0.0, quarters) * kRecordingDivision);
}

// Goes on to the next message's tick, and tells how far that is in the file: a pause longer than
// the format can say, some hours, is shortened.
std::int64_t ticks_to(std::int64_t& tick, std::int64_t next) {
  const std::int64_t delta = std::max<std::int64_t>(0, next - tick);
  tick += delta;
  return std::min<std::int64_t>(delta, kMostVariableLength);
}

void put_big_endian(Bytes& out, std::uint32_t number, int bytes) {
  for (int shift = 8 * (bytes - 1); shift >= 0; shift -= 8) {
    out.push_back(static_cast<std::uint8_t>(number >> shift & 0xFF));
  }
}

void put_letters(Bytes& out, std::string_view letters) {
  out.insert(out.end(), letters.begin(), letters.end());
}

Diagnostics cannot_write(const std::filesystem::path& path) {
  return fail({.file = path.string()}, std::string("cannot be written: ") + std::strerror(errno),
              "is there room, and may you write there?");
}

}  // namespace

MidiFile midi_of(const RecordingHead& head, std::span<const RecordedMessage> messages) {
  MidiFile file;
  file.format = 0;
  file.division = kRecordingDivision;
  file.tracks.emplace_back();
  for (const Bytes& event : head_events(head)) file.append(0, 0, event);
  std::int64_t tick = 0;
  std::int64_t written = 0;
  for (const RecordedMessage& message : messages) {
    written += ticks_to(tick, tick_of(message.at, head.microseconds_per_quarter));
    file.append(0, written, message.data());
  }
  file.tracks[0].end_tick = written;
  return file;
}

std::string recorded_on(const Score& file) {
  for (const Message& message : file.messages) {
    const auto bytes = file.bytes_of(message);
    if (bytes.size() < 2 || bytes[0] != kMeta || bytes[1] != kTextType) continue;
    const std::string text(bytes.begin() + 2, bytes.end());
    if (text.starts_with(kRecordedOn)) return text.substr(kRecordedOn.size());
  }
  return {};
}

GrowingRecording::GrowingRecording(std::filesystem::path path, int file, const RecordingHead& head)
    : path_(std::move(path)),
      file_(file),
      microseconds_per_quarter_(head.microseconds_per_quarter) {}

GrowingRecording::GrowingRecording(GrowingRecording&& other) noexcept
    : path_(std::move(other.path_)),
      file_(std::exchange(other.file_, -1)),
      microseconds_per_quarter_(other.microseconds_per_quarter_),
      tick_(other.tick_),
      length_(other.length_) {}

GrowingRecording::~GrowingRecording() {
  if (file_ >= 0) ::close(file_);
}

Result<GrowingRecording> GrowingRecording::begin(const std::filesystem::path& path,
                                                 const RecordingHead& head) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  if (file < 0) return cannot_write(path);
  GrowingRecording recording(path, file, head);
  Bytes bytes;
  put_letters(bytes, "MThd");
  put_big_endian(bytes, 6, 4);
  put_big_endian(bytes, 0, 2);  // format 0
  put_big_endian(bytes, 1, 2);  // one track
  put_big_endian(bytes, kRecordingDivision, 2);
  put_letters(bytes, "MTrk");
  put_big_endian(bytes, 0, 4);
  const std::size_t before_track = bytes.size();
  for (const Bytes& event : head_events(head)) {
    bytes.push_back(0);  // delta time
    put_event(bytes, event);
  }
  recording.length_ = static_cast<std::uint32_t>(bytes.size() - before_track);
  if (const Result<Done> written = recording.write(bytes); !written) return written.diagnostics();
  return recording;
}

Result<Done> GrowingRecording::add(std::span<const RecordedMessage> messages) {
  if (messages.empty()) return Done{};
  Bytes bytes;
  for (const RecordedMessage& message : messages) {
    const std::int64_t delta = ticks_to(tick_, tick_of(message.at, microseconds_per_quarter_));
    put_variable_length(bytes, static_cast<std::uint32_t>(delta));
    bytes.insert(bytes.end(), message.data().begin(), message.data().end());
  }
  length_ += static_cast<std::uint32_t>(bytes.size());
  return write(bytes);
}

// Appends; then the track's length, so that the file is whole but for its end.
Result<Done> GrowingRecording::write(std::span<const std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const ssize_t written = ::write(file_, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return cannot_write(path_);
    bytes = bytes.subspan(static_cast<std::size_t>(written));
  }
  Bytes length;
  put_big_endian(length, length_, 4);
  if (::pwrite(file_, length.data(), length.size(), kLengthAt) != 4) return cannot_write(path_);
  return Done{};
}

}  // namespace arsis
