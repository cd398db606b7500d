// Reads a Standard MIDI File: chunks, guarded tracks, and libsmf's second opinion on every event.
#include <fmt/format.h>

#include "smf/chunks.h"
#include "smf/libsmf_decoder.h"
#include "smf/midi_file.h"
#include "smf/track_guard.h"

namespace arsis {
namespace {

constexpr std::size_t kMostTracks = 65'535;  // what the header can count

// Where the next chunk begins after a track.
std::size_t next_chunk(std::span<const std::uint8_t> bytes, const TrackExtent& extent,
                       TrackRead read, DamageReport& damage) {
  const bool fits = extent.declared <= extent.limit && extent.declared >= read.end &&
                    (extent.declared == extent.limit || extent.declared == read.end ||
                     looks_like_chunk(bytes, extent.declared, extent.limit));
  if (fits) {
    if (read.whole && read.end < extent.declared) {
      damage.add(extent.number, read.end, "bytes after the end of the track", "they are left out");
    }
    return extent.declared;
  }
  const bool told = read.lengthened || (!read.whole && read.end == extent.limit);
  const std::size_t next = find_track_chunk(bytes, read.end, extent.limit);
  if (!told) {
    damage.add(extent.number, extent.begin - kChunkHead, "the chunk's length is wrong",
               next < extent.limit ? "the next track is looked for after the end of this one"
                                   : "the track is read to its end");
  }
  return next;
}

// False where the file holds too many events.
bool read_chunks(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t end,
                 MidiFile& file, DamageReport& damage) {
  std::size_t events_left = kMostMidiEvents;
  while (at < end && file.tracks.size() < kMostTracks) {
    if (!looks_like_chunk(bytes, at, end)) {
      damage.add(0, at, "bytes that belong to no chunk", "they are left out");
      at = find_track_chunk(bytes, at, end);
      continue;
    }
    const std::size_t length = big_endian(bytes, at + 4, 4);
    if (!is_track_chunk(bytes, at, end)) {  // of a kind that the standard asks us to pass over
      if (length > end - at - kChunkHead) {
        damage.add(0, at, "a chunk's length is wrong", "the next track is looked for inside it");
        at = find_track_chunk(bytes, at + kChunkHead, end);
      } else {
        at += kChunkHead + length;
      }
      continue;
    }
    const TrackExtent extent{file.tracks.size() + 1, at + kChunkHead, at + kChunkHead + length, end,
                             events_left};
    const TrackRead read = read_track(bytes, extent, file, damage);
    if (read.too_much) return false;
    events_left -= file.tracks.back().events.size();
    at = next_chunk(bytes, extent, read, damage);
  }
  return true;
}

}  // namespace

void MidiFile::append(std::size_t track, std::int64_t tick, std::span<const std::uint8_t> event) {
  MidiEvent added;
  added.tick = tick;
  added.first = static_cast<std::uint32_t>(bytes.size());
  added.size = static_cast<std::uint32_t>(event.size());
  bytes.insert(bytes.end(), event.begin(), event.end());
  tracks[track].events.push_back(added);
}

Result<MidiFile> read_midi(std::span<const std::uint8_t> bytes, const std::string& name) {
  if (bytes.size() > kMostMidiBytes) {
    return fail({.file = name}, "is too large",
                fmt::format("at most {} bytes are read", kMostMidiBytes));
  }
  const Extent extent = unwrapped(bytes);
  const Result<MidiHeader> header = read_header(bytes, extent, name);
  if (!header) return header.diagnostics();
  MidiFile file;
  file.format = header->format;
  file.division = header->division;
  DamageReport damage(name);
  const std::size_t shortest_header = extent.begin + 14;
  std::size_t first = header->end;
  if (first != shortest_header && !looks_like_chunk(bytes, first, extent.end)) {
    damage.add(0, extent.begin + 4, "the header's length is wrong",
               "the tracks are looked for after it");
    first = find_track_chunk(bytes, shortest_header, extent.end);
  }
  if (!read_chunks(bytes, first, extent.end, file, damage)) {
    return fail({.file = name}, "holds too many events",
                fmt::format("at most {} are read", kMostMidiEvents));
  }
  if (file.tracks.empty()) {
    return fail({.file = name}, "holds no tracks", "export it anew");
  }
  if (static_cast<std::size_t>(header->tracks) != file.tracks.size()) {
    damage.add(0, extent.begin + 10,
               fmt::format("the header counts {} tracks, the file holds {}", header->tracks,
                           file.tracks.size()),
               "all of them are read");
  }
  if (file.tracks.size() > 1) file.format = 1;
  const Result<Done> checked = check_with_libsmf(file, name);
  if (!checked) return checked.diagnostics();
  return {std::move(file), damage.take()};
}

}  // namespace arsis
