// What is recorded from a port as a MIDI file: one track that grows with the playing, so that
// whatever ends the program leaves all that was played until then; and the finished file.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "base/files.h"
#include "base/units.h"
#include "score/score.h"
#include "smf/midi_file.h"

namespace arsis {

// A channel message as it came.
struct RecordedMessage {
  Seconds at;  // from the start of the recording
  std::array<std::uint8_t, 3> bytes{};
  std::uint8_t size = 0;

  std::span<const std::uint8_t> data() const { return std::span(bytes).first(size); }
  bool is_note_on() const { return (bytes[0] & 0xF0) == 0x90 && bytes[2] > 0; }
  bool is_note() const { return (bytes[0] & 0xE0) == 0x80; }  // its beginning or its end
};

// What the file says of itself, in plain events: the track's name is what was played, a text tells
// when; the tempo is the score's, so that bars fall about where they are in other programs.
struct RecordingHead {
  std::string title;
  std::string date;  // "2026-11-29 16:50:12"
  std::int64_t microseconds_per_quarter = 500'000;
};

// About a ten-thousandth of a second at the tempos of music.
inline constexpr int kRecordingDivision = 9600;

// The finished file. Messages come in order of time.
MidiFile midi_of(const RecordingHead& head, std::span<const RecordedMessage> messages);

// When a file says that it was recorded, as text; empty where it tells nothing.
std::string recorded_on(const Score& file);

// A file that grows.
class GrowingRecording {
 public:
  // Begins it; there may be no such file yet. Errors: it cannot be made.
  static Result<GrowingRecording> begin(const std::filesystem::path& path,
                                        const RecordingHead& head);
  GrowingRecording(GrowingRecording&& other) noexcept;
  GrowingRecording& operator=(GrowingRecording&&) = delete;
  ~GrowingRecording();  // the file stays

  // Adds messages, each not before the last one, and hands them to the system: they are there from
  // then on, whatever becomes of the program. What a MIDI reader misses is the end of the track
  // alone.
  Result<Done> add(std::span<const RecordedMessage> messages);

 private:
  GrowingRecording(std::filesystem::path path, int file, const RecordingHead& head);
  Result<Done> write(std::span<const std::uint8_t> bytes);

  std::filesystem::path path_;
  int file_ = -1;
  std::int64_t microseconds_per_quarter_;
  std::int64_t tick_ = 0;     // of the last event
  std::uint32_t length_ = 0;  // of the track, bytes
};

}  // namespace arsis
