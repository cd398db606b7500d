#include "piece.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <initializer_list>
#include <string>

namespace arsis {
namespace {

constexpr std::uint8_t kVelocity = 80;         // the plan has the dynamics, not the score
constexpr std::uint8_t kReleaseVelocity = 64;  // the usual value where nothing is meant by it
// The pedal is changed as a pianist does it: up just after the new bass has been struck, down again
// while it is still held. 20 and 100 ticks are 31 and 156 ms at 80 quarter notes a minute.
constexpr std::int64_t kPedalUp = 20;
constexpr std::int64_t kPedalDown = 100;

std::int64_t beat_ticks(const PieceMeter& meter) { return kTicksPerQuarter * 4 / meter.beat_unit; }

Meter bar_lines(const PieceMeter& meter) {
  return {meter.pickup * beat_ticks(meter), meter.beats * beat_ticks(meter)};
}

// An event with its place among those of one moment: what ends comes before what begins.
struct Timed {
  std::int64_t tick = 0;
  int order = 0;
  std::vector<std::uint8_t> bytes;
};

std::vector<std::uint8_t> text_event(std::uint8_t type, std::string_view text) {
  std::vector<std::uint8_t> bytes = {0xFF, type};
  bytes.insert(bytes.end(), text.begin(), text.end());
  return bytes;
}

// Source: Standard MIDI Files 1.0, "Set Tempo", "Time Signature", "Key Signature".
Timed tempo_event(int quarters_per_minute) {
  const int microseconds = (60'000'000 + quarters_per_minute / 2) / quarters_per_minute;
  return {0,
          1,
          {0xFF, 0x51, static_cast<std::uint8_t>(microseconds >> 16),
           static_cast<std::uint8_t>(microseconds >> 8), static_cast<std::uint8_t>(microseconds)}};
}

Timed time_event(std::int64_t tick, int beats, int beat_unit) {
  const bool eighths = beat_unit == 8;
  // MIDI clocks a metronome click: a quarter note, or the dotted quarter of a compound bar.
  const std::uint8_t clocks = eighths ? 36 : 24;
  return {tick,
          2,
          {0xFF, 0x58, static_cast<std::uint8_t>(beats), static_cast<std::uint8_t>(eighths ? 3 : 2),
           clocks, 8}};
}

Timed key_event(std::int64_t tick, const PieceKey& key) {
  return {tick,
          3,
          {0xFF, 0x59, static_cast<std::uint8_t>(static_cast<std::int8_t>(key.sharps)),
           static_cast<std::uint8_t>(key.minor ? 1 : 0)}};
}

void add_track(MidiFile& file, std::vector<Timed> events, std::int64_t end) {
  std::ranges::stable_sort(events, {},
                           [](const Timed& event) { return std::pair(event.tick, event.order); });
  const std::size_t track = file.tracks.size();
  file.tracks.emplace_back();
  for (const Timed& event : events) file.append(track, event.tick, event.bytes);
  file.tracks[track].end_tick = end;
}

void add_conductor(MidiFile& file, const Piece& piece, std::int64_t end) {
  const PieceMeter& meter = piece.meter;
  const Meter lines = bar_lines(meter);
  std::vector<Timed> events = {{0, 0, text_event(0x03, piece.title)}, tempo_event(piece.tempo)};
  if (meter.pickup > 0) events.push_back(time_event(0, meter.pickup, meter.beat_unit));
  events.push_back(time_event(lines.pickup, meter.beats, meter.beat_unit));
  for (const PieceKey& key : piece.keys) {
    const std::int64_t tick = key.bar == 0 ? 0 : lines.pickup + (key.bar - 1) * lines.bar;
    events.push_back(key_event(tick, key));
  }
  add_track(file, std::move(events), end);
}

// Each press holds until the next change; at the end of the voice, or where a rest begins, the
// pedal goes up.
void add_pedal(std::vector<Timed>& events, const Voice& pedal, std::uint8_t channel) {
  const auto control = static_cast<std::uint8_t>(0xB0 | channel);
  for (std::size_t i = 0; i < pedal.struck.size(); ++i) {
    const Struck& press = pedal.struck[i];
    events.push_back({press.tick + kPedalDown, 1, {control, 64, 127}});
    const std::int64_t end = press.tick + press.length;
    const bool changes = i + 1 < pedal.struck.size() && pedal.struck[i + 1].tick == end;
    events.push_back({changes ? end + kPedalUp : end, 1, {control, 64, 0}});
  }
}

struct Hand {
  std::string_view name;
  std::uint8_t channel = 0;
  std::vector<Voice> voices;
};

void add_hand(MidiFile& file, const Hand& hand, const Voice& pedal, std::int64_t end) {
  std::vector<Timed> events = {{0, 0, text_event(0x03, hand.name)},
                               {0, 1, {static_cast<std::uint8_t>(0xC0 | hand.channel), 0}}};
  const auto on = static_cast<std::uint8_t>(0x90 | hand.channel);
  const auto off = static_cast<std::uint8_t>(0x80 | hand.channel);
  for (const Voice& voice : hand.voices) {
    for (const Struck& struck : voice.struck) {
      for (const int key : struck.keys) {
        const auto number = static_cast<std::uint8_t>(key);
        events.push_back({struck.tick, 3, {on, number, kVelocity}});
        events.push_back({struck.tick + struck.length, 2, {off, number, kReleaseVelocity}});
      }
    }
  }
  add_pedal(events, pedal, hand.channel);
  add_track(file, std::move(events), end);
}

// A key can be struck again only after it has been let go, whichever finger holds it.
void refuse_held_keys(const Hand& hand, const std::string& file, Diagnostics& errors) {
  std::vector<std::array<std::int64_t, 3>> notes;  // key, begin, end
  for (const Voice& voice : hand.voices) {
    for (const Struck& struck : voice.struck) {
      for (const int key : struck.keys) {
        notes.push_back({key, struck.tick, struck.tick + struck.length});
      }
    }
  }
  std::ranges::sort(notes);
  for (std::size_t i = 1; i < notes.size(); ++i) {
    if (notes[i][0] != notes[i - 1][0] || notes[i][1] >= notes[i - 1][2]) continue;
    errors.push_back(error(
        {.file = file, .part = fmt::format("{}, tick {}", hand.name, notes[i][1])},
        fmt::format("key {} is struck while it is held", notes[i][0]), "shorten the note before"));
  }
}

// Reads a voice; `end` is where the first voice ended, and 0 before that.
Voice read_voice(std::string_view text, const Piece& piece, std::string_view name,
                 std::int64_t& end, Diagnostics& errors) {
  const std::string where = fmt::format("{}, {}", piece.file, name);
  Result<Voice> voice = read_notation(text, bar_lines(piece.meter), where);
  if (!voice) {
    errors.insert(errors.end(), voice.diagnostics().begin(), voice.diagnostics().end());
    return {};
  }
  if (end == 0) end = voice->end;
  if (voice->end != end) {
    errors.push_back(error({.file = where},
                           fmt::format("ends at tick {}, the first voice at {}", voice->end, end),
                           "fill both with rests"));
  }
  return std::move(*voice);
}

}  // namespace

std::vector<Piece> demo_pieces() { return {lantern_song(), ferry_study(), mill_round()}; }

Result<MidiFile> midi_of(const Piece& piece) {
  Diagnostics errors;
  std::int64_t end = 0;
  Hand right{"right hand", 0, {}};
  Hand left{"left hand", 1, {}};
  for (const std::string_view text : piece.right) {
    right.voices.push_back(read_voice(text, piece, right.name, end, errors));
  }
  for (const std::string_view text : piece.left) {
    left.voices.push_back(read_voice(text, piece, left.name, end, errors));
  }
  Voice pedal;
  if (!piece.pedal.empty()) pedal = read_voice(piece.pedal, piece, "pedal", end, errors);
  refuse_held_keys(right, std::string(piece.file), errors);
  refuse_held_keys(left, std::string(piece.file), errors);
  if (!errors.empty()) return errors;
  MidiFile file;
  file.format = 1;
  file.division = kTicksPerQuarter;
  add_conductor(file, piece, end);
  add_hand(file, right, {}, end);
  add_hand(file, left, pedal, end);
  return file;
}

Result<Bytes> midi_bytes_of(const Piece& piece) {
  const Result<MidiFile> file = midi_of(piece);
  if (!file) return file.diagnostics();
  return write_midi(*file, std::string(piece.file));
}

}  // namespace arsis
