#include "smf/chunks.h"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

namespace arsis {
namespace {

bool has_letters(std::span<const std::uint8_t> bytes, std::size_t at, std::string_view letters) {
  return at + letters.size() <= bytes.size() &&
         std::equal(letters.begin(), letters.end(),
                    bytes.begin() + static_cast<std::ptrdiff_t>(at));
}

std::uint32_t little_endian(std::span<const std::uint8_t> bytes, std::size_t at) {
  std::uint32_t value = 0;
  for (std::size_t i = 4; i-- > 0;) value = value << 8 | bytes[at + i];
  return value;
}

}  // namespace

void DamageReport::add(std::size_t track, std::size_t byte, std::string problem,
                       std::string remedy) {
  Kind& kind = kinds_[problem];
  if (++kind.count > kMostOfAKind) return;
  kind.remedy = remedy;
  const std::string part =
      track == 0 ? fmt::format("byte {}", byte) : fmt::format("track {}, byte {}", track, byte);
  warnings_.push_back(warning({file_, 0, 0, part}, std::move(problem), std::move(remedy)));
}

Diagnostics DamageReport::take() {
  for (const auto& [problem, kind] : kinds_) {
    if (kind.count <= kMostOfAKind) continue;
    warnings_.push_back(
        warning({file_, 0, 0, {}},
                fmt::format("{}, {} more times", problem, kind.count - kMostOfAKind), kind.remedy));
  }
  kinds_.clear();
  return std::move(warnings_);
}

std::uint32_t big_endian(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t count) {
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < count; ++i) value = value << 8 | bytes[at + i];
  return value;
}

bool looks_like_chunk(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t end) {
  if (at + kChunkHead > end) return false;
  return std::all_of(bytes.begin() + static_cast<std::ptrdiff_t>(at),
                     bytes.begin() + static_cast<std::ptrdiff_t>(at + 4),
                     [](std::uint8_t c) { return c >= 0x20 && c < 0x7F; });
}

bool is_track_chunk(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t end) {
  return at + kChunkHead <= end && has_letters(bytes, at, "MTrk");
}

std::size_t find_track_chunk(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t end) {
  while (at < end && !is_track_chunk(bytes, at, end)) ++at;
  return at;
}

Extent unwrapped(std::span<const std::uint8_t> bytes) {
  const Extent whole{0, bytes.size()};
  if (bytes.size() < 12 || !has_letters(bytes, 0, "RIFF") || !has_letters(bytes, 8, "RMID")) {
    return whole;
  }
  for (std::size_t at = 12; at + kChunkHead <= bytes.size();) {
    const std::size_t length = little_endian(bytes, at + 4);
    const std::size_t begin = at + kChunkHead;
    if (has_letters(bytes, at, "data")) {
      return {begin, std::min(bytes.size(), begin + length)};
    }
    at = begin + length + length % 2;  // RIFF chunks begin on even bytes
  }
  return whole;
}

Result<MidiHeader> read_header(std::span<const std::uint8_t> bytes, Extent extent,
                               const std::string& file) {
  const Where where{.file = file};
  if (bytes.empty()) return fail(where, "is empty", "a Standard MIDI File is needed");
  constexpr std::size_t kHeader = 14;
  if (extent.begin + kHeader > extent.end || !has_letters(bytes, extent.begin, "MThd")) {
    return fail(where, "is not a MIDI file", "a Standard MIDI File begins with 'MThd'");
  }
  const std::size_t at = extent.begin + kChunkHead;
  const std::size_t length = big_endian(bytes, extent.begin + 4, 4);
  const int format = static_cast<int>(big_endian(bytes, at, 2));
  const int division = static_cast<int>(big_endian(bytes, at + 4, 2));
  if (format == 2) {
    return fail(where, "is of format 2 (independent patterns)", "export it as format 0 or 1");
  }
  if (format > 2) {
    return fail(where, fmt::format("is of the unknown format {}", format),
                "export it as format 0 or 1");
  }
  if ((division & 0x8000) != 0) {
    return fail(where, "counts SMPTE frames instead of beats",
                "export it with ticks per quarter note");
  }
  if (division == 0) {
    return fail(where, "has no ticks in a quarter note (division 0)", "export it anew");
  }
  const std::size_t body = std::clamp<std::size_t>(length, 6, extent.end - at);
  return MidiHeader{format, static_cast<int>(big_endian(bytes, at + 2, 2)), division, at + body};
}

}  // namespace arsis
