#include "smf/joining.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <utility>

namespace arsis {
namespace {

constexpr std::uint8_t kLastHeading = 0x03;  // a track's name
constexpr std::uint8_t kMarker = 0x06;
constexpr std::uint8_t kTempoChange = 0x51;
constexpr std::uint8_t kResetControllers = 121;
constexpr std::int64_t kUsualTempo = 500'000;  // microseconds; Standard MIDI Files 1.0

using Channels = std::array<bool, 16>;

std::array<std::uint8_t, 5> tempo_event(std::int64_t microseconds) {
  const auto tempo = static_cast<std::uint32_t>(microseconds);
  return {kMeta, kTempoChange, static_cast<std::uint8_t>(tempo >> 16),
          static_cast<std::uint8_t>(tempo >> 8), static_cast<std::uint8_t>(tempo)};
}

bool is_meta(std::span<const std::uint8_t> bytes) { return bytes.size() > 1 && bytes[0] == kMeta; }
bool is_heading(std::span<const std::uint8_t> bytes) {
  return is_meta(bytes) && bytes[1] <= kLastHeading;
}

// Where everything ends that the file holds.
std::int64_t length_of(const MidiFile& file) {
  std::int64_t length = 0;
  for (const MidiTrack& track : file.tracks) {
    length = std::max(length, track.end_tick);
    if (!track.events.empty()) length = std::max(length, track.events.back().tick);
  }
  return length;
}

// How long the file sounds, by the tempos of its first track.
Seconds duration_of(const MidiFile& file, std::int64_t length) {
  double microseconds = 0.0;
  std::int64_t tick = 0;
  std::int64_t tempo = kUsualTempo;
  const auto go_to = [&](std::int64_t next) {
    microseconds += static_cast<double>(next - tick) * static_cast<double>(tempo) / file.division;
    tick = next;
  };
  for (const MidiEvent& event : file.tracks.front().events) {
    const auto bytes = file.bytes_of(event);
    if (!is_meta(bytes) || bytes[1] != kTempoChange || bytes.size() < 5) continue;
    go_to(event.tick);
    tempo = bytes[2] << 16 | bytes[3] << 8 | bytes[4];
  }
  go_to(length);
  return {microseconds * 1e-6};
}

class Joiner {
 public:
  Joiner(std::span<const NamedMidi> pieces, Seconds silence)
      : pieces_(pieces), silence_(silence), used_(pieces.front().file.tracks.size()) {
    made_.file.format = pieces.front().file.format;
    made_.file.division = pieces.front().file.division;
    made_.file.tracks.resize(used_.size());
  }

  JoinedMidi join() {
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      assert(pieces_[i].file.division == made_.file.division);
      assert(pieces_[i].file.tracks.size() == used_.size());
      made_.begins.push_back(begin_);
      add_marker(pieces_[i].name);
      for (std::size_t track = 0; track < used_.size(); ++track) add_track(i, track);
      const std::int64_t length = length_of(pieces_[i].file);
      begin_ += duration_of(pieces_[i].file, length);
      if (i + 1 < pieces_.size()) add_silence(length);
      if (i + 1 == pieces_.size()) offset_ += length;
    }
    for (MidiTrack& track : made_.file.tracks) track.end_tick = offset_;
    return std::move(made_);
  }

 private:
  void add_marker(const std::string& name) {
    std::vector<std::uint8_t> bytes = {kMeta, kMarker};
    bytes.insert(bytes.end(), name.begin(), name.end());
    made_.file.append(0, offset_, bytes);
  }

  void add_track(std::size_t piece, std::size_t track) {
    Channels& used = used_[track];
    for (std::size_t channel = 0; channel < used.size(); ++channel) {
      if (!used[channel]) continue;
      const std::array<std::uint8_t, 3> reset = {static_cast<std::uint8_t>(0xB0 | channel),
                                                 kResetControllers, 0};
      made_.file.append(track, offset_, reset);
    }
    const MidiFile& file = pieces_[piece].file;
    for (const MidiEvent& event : file.tracks[track].events) {
      const auto bytes = file.bytes_of(event);
      if (piece > 0 && is_heading(bytes)) continue;
      if (bytes[0] < 0xF0) used[bytes[0] & 0x0F] = true;
      made_.file.append(track, offset_ + event.tick, bytes);
    }
  }

  // Up to the second whole quarter note after the end, at the tempo that makes it last as long as
  // it is to last.
  void add_silence(std::int64_t length) {
    const std::int64_t division = made_.file.division;
    const std::int64_t next = ((length + division - 1) / division + 1) * division;
    const std::int64_t ticks = next - length;
    const auto tempo = static_cast<std::int64_t>(std::llround(
        silence_.value * 1e6 * static_cast<double>(division) / static_cast<double>(ticks)));
    made_.file.append(0, offset_ + length, tempo_event(tempo));
    begin_.value += static_cast<double>(ticks * tempo) / static_cast<double>(division) * 1e-6;
    offset_ += next;
  }

  std::span<const NamedMidi> pieces_;
  Seconds silence_;
  std::vector<Channels> used_;  // of each track, by what came before
  JoinedMidi made_;
  std::int64_t offset_ = 0;  // of the piece at hand
  Seconds begin_{0.0};
};

}  // namespace

JoinedMidi joined(std::span<const NamedMidi> pieces, Seconds silence) {
  assert(!pieces.empty());
  return Joiner(pieces, silence).join();
}

}  // namespace arsis
