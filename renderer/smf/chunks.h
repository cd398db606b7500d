// The outer form of a Standard MIDI File: its wrapper, header and chunks, with what is damaged in
// them.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

inline constexpr std::size_t kChunkHead = 8;  // bytes: four letters and a length

// Warnings of one file: one for each damage, but of a kind that comes often only the first few, and
// how many more there are.
class DamageReport {
 public:
  explicit DamageReport(std::string file) : file_(std::move(file)) {}
  // `track` counts from 1, 0 for the file as a whole; `byte` is an offset from the file's
  // beginning.
  void add(std::size_t track, std::size_t byte, std::string problem, std::string remedy);
  Diagnostics take();
  const std::string& file() const { return file_; }

 private:
  static constexpr std::size_t kMostOfAKind = 5;  // there are about thirty kinds
  struct Kind {
    std::size_t count = 0;
    std::string remedy;
  };
  std::string file_;
  Diagnostics warnings_;
  std::map<std::string, Kind> kinds_;  // by problem
};

struct MidiHeader {
  int format = 0;
  int tracks = 0;
  int division = 0;
  std::size_t end = 0;  // offset of the first byte after it
};

// Bytes from `begin` to `end` are the file without its RIFF wrapper, if it has one.
struct Extent {
  std::size_t begin = 0;
  std::size_t end = 0;
};
Extent unwrapped(std::span<const std::uint8_t> bytes);

// Errors: not a MIDI file, format 2 or unknown, SMPTE time, zero division.
Result<MidiHeader> read_header(std::span<const std::uint8_t> bytes, Extent extent,
                               const std::string& file);

std::uint32_t big_endian(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t count);

// Whether a chunk could begin here: four printable characters and a length.
bool looks_like_chunk(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t end);
bool is_track_chunk(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t end);
// Where the next track chunk begins, at `at` or after it; `end` where there is none.
std::size_t find_track_chunk(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t end);

}  // namespace arsis
