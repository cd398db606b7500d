#include "pieces.h"

#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "notation.h"

namespace arsis::demo {
namespace {

struct Meter {
  int beats;
  int beat_unit_power;  // of two: 2 a quarter note, 3 an eighth
};

void append_text(MidiFile& file, std::size_t track, std::uint8_t type, std::string_view text) {
  std::vector<std::uint8_t> bytes = {0xFF, type};
  bytes.insert(bytes.end(), text.begin(), text.end());
  file.append(track, 0, bytes);
}

void append_meter(MidiFile& file, std::int64_t tick, Meter meter) {
  const std::array<std::uint8_t, 6> bytes = {0xFF,
                                             0x58,
                                             static_cast<std::uint8_t>(meter.beats),
                                             static_cast<std::uint8_t>(meter.beat_unit_power),
                                             24,
                                             8};
  file.append(0, tick, bytes);
}

struct Head {
  std::string_view title;
  double quarters_a_minute;
  int sharps;  // below 0: flats
  bool minor;
  Meter pickup;
  Meter meter;
};

// The conductor's track, and the two hands' with their names and sounds.
MidiFile begin(const Head& head) {
  constexpr std::uint8_t kTrackName = 0x03;
  MidiFile file;
  file.division = kDivision;
  file.tracks.resize(3);
  append_text(file, 0, kTrackName, head.title);
  const auto tempo = static_cast<std::uint32_t>(std::lround(6e7 / head.quarters_a_minute));
  const std::array<std::uint8_t, 5> set_tempo = {0xFF, 0x51, static_cast<std::uint8_t>(tempo >> 16),
                                                 static_cast<std::uint8_t>(tempo >> 8),
                                                 static_cast<std::uint8_t>(tempo)};
  file.append(0, 0, set_tempo);
  const std::array<std::uint8_t, 4> key = {0xFF, 0x59, static_cast<std::uint8_t>(head.sharps),
                                           static_cast<std::uint8_t>(head.minor ? 1 : 0)};
  file.append(0, 0, key);
  append_meter(file, 0, head.pickup);
  append_meter(file, head.pickup.beats * (kDivision * 4 >> head.pickup.beat_unit_power),
               head.meter);
  append_text(file, 1, kTrackName, "right hand");
  append_text(file, 2, kTrackName, "left hand");
  for (std::uint8_t channel = 0; channel < 2; ++channel) {
    const std::array<std::uint8_t, 2> piano = {static_cast<std::uint8_t>(0xC0 | channel), 0};
    file.append(channel + 1u, 0, piano);
  }
  return file;
}

void end(MidiFile& file, std::int64_t tick) {
  for (MidiTrack& track : file.tracks) track.end_tick = tick;
}

// Pedal in the left hand's track: down just after each change of harmony, up just before the next.
struct Change {
  std::int64_t tick;
  std::int64_t length;
};

void merge_pedal(MidiFile& file, std::size_t track, std::span<const Change> changes) {
  constexpr std::int64_t kAfter = kDivision / 16;
  std::vector<MidiEvent> notes = std::move(file.tracks[track].events);
  file.tracks[track].events.clear();
  std::size_t next = 0;
  const auto pedal = [&](std::int64_t tick, std::uint8_t value) {
    while (next < notes.size() && notes[next].tick <= tick) {
      file.tracks[track].events.push_back(notes[next++]);
    }
    const std::array<std::uint8_t, 3> bytes = {static_cast<std::uint8_t>(0xB0 | (track - 1)), 64,
                                               value};
    file.append(track, tick, bytes);
  };
  for (const Change& change : changes) {
    pedal(change.tick + kAfter, 127);
    pedal(change.tick + change.length - kAfter, 0);
  }
  while (next < notes.size()) file.tracks[track].events.push_back(notes[next++]);
}

// One pedal for each bar of `length` from `first` on.
std::vector<Change> bar_by_bar(std::int64_t first, std::int64_t length, int bars) {
  std::vector<Change> changes;
  for (int i = 0; i < bars; ++i) changes.push_back({first + i * length, length});
  return changes;
}

// Lantern Song. D minor, to F major and back; motifs from the upbeat.
constexpr std::string_view kLanternFirst =
    "a4:1 | d5:1 f5:1 e5:1/2 f5:1/2 | g5:1 bb5:1 a5:1/2 g5:1/2 | e5:2 "
    "d5:1 | f5:1 a5:1 g5:1 | f5:1 e5:1 c#5:1/2 e5:1/2 | d5:2 ";
constexpr std::string_view kLanternClimb =
    "a4:1 | bb4:1 d5:1 bb4:1 | c5:1 e5:1 c5:1/2 e5:1/2 | f5:1 a5:1 "
    "f5:1 | g5:1 bb5:1 a5:1 | g5:1 bb5:1 a5:1/2 bb5:1/2 | c6:2 ";
constexpr std::string_view kLanternTurn =
    "c6:1/2 bb5:1/2 | a5:1 f5:1 g5:1/2 a5:1/2 | bb5:1 d6:1 "
    "c6:1/2 bb5:1/2 | a5:1 f5:1 g5:1/2 f5:1/2 | e5:1 c#5:1 "
    "d5:1 | e5:1 f5:1 g5:1 | a5:2 ";
constexpr std::string_view kLanternClose =
    "a4:1 | bb4:1 g5:1 f5:1/2 g5:1/2 | a5:1 f5:1 e5:1/2 d5:1/2 | e5:1 c#5:1 "
    "d5:1/2 e5:1/2 | f5:1 d5:1 d5:1 | e5:1 c#5:1 e5:1 | d5:2 ";
constexpr std::string_view kLanternFirstBass =
    "/2 d3 a3 d4 f4 d4 a3 | bb2 d3 g3 d4 g3 d3 | a2 e3 g3 c#4 g3 e3 | "
    "d3 a3 d4 f4 d4 a3 | g2 bb3 d4 bb3 a2 g3 | d3 f3 a3 d4 a3 f3 | ";
constexpr std::string_view kLanternClimbBass =
    "/2 d3 f3 bb3 d4 bb3 f3 | c3 g3 bb3 e4 bb3 g3 | a2 f3 a3 c4 a3 f3 | "
    "bb2 d3 g3 d4 g3 d3 | e3 g3 bb3 c4 bb3 g3 | f3 a3 c4 f4 c4 a3 | ";
constexpr std::string_view kLanternTurnBass =
    "/2 f3 a3 d4 a3 f3 d3 | g2 d3 g3 bb3 g3 d3 | a2 f3 a3 c4 a3 f3 | "
    "g2 e3 a3 e4 a3 e3 | f2 d3 a3 d4 a3 d3 | a2 e3 a3 c#4 a3 e3 | ";
constexpr std::string_view kLanternCloseBass =
    "/2 bb2 d3 g3 d4 g3 d3 | f2 d3 a3 d4 a3 d3 | g2 e3 a3 e4 a3 e3 | "
    "bb2 f3 bb3 d4 bb3 f3 | a2 e3 g3 a3 g3 e3 | d2 a2 d3 f3:1/2 ";

MidiFile lantern_song() {
  MidiFile file = begin({"Lantern Song", 80.0, -1, true, {1, 2}, {3, 2}});
  const std::array<std::string_view, 5> right = {kLanternFirst, kLanternClimb, kLanternTurn,
                                                 kLanternFirst, kLanternClose};
  const std::array<std::string_view, 5> left = {
      kLanternFirstBass, kLanternClimbBass, kLanternTurnBass, kLanternFirstBass, kLanternCloseBass};
  std::int64_t tick = 0;
  for (const std::string_view music : right) tick = append_music(file, 1, 0, tick, music);
  std::int64_t bass_tick = kDivision;  // after the upbeat
  for (const std::string_view music : left) bass_tick = append_music(file, 2, 1, bass_tick, music);
  std::vector<Change> changes = bar_by_bar(kDivision, 3 * kDivision, 29);
  changes.push_back({kDivision + 29 * 3 * kDivision, 2 * kDivision});
  merge_pedal(file, 2, changes);
  end(file, tick);
  return file;
}

// Ferry Study. E minor; the hands hand the running notes to each other across every bar line.
constexpr std::string_view kFerryFirst =
    "/4 b4 c#5 d#5 e5 | e5:1 b4 c#5 d#5 e5 | f#5:1 c5 d5 e5 f#5 | g5:1 e5 f#5 g5 a5 | b5:1 "
    "g5 a5 b5 c6 | c6:1 b5 a5 g5 f#5 | a5:1 a5 g5 f#5 e5 | g5:1 g5 f#5 e5 d#5 | f#5:1 ";
constexpr std::string_view kFerryMiddle =
    "/4 d5 e5 f#5 g5 | b5:1 b5 a5 g5 f#5 | a5:1 g5 a5 b5 c6 | c6:1 c6 b5 a5 g5 | b5:1 "
    "b5 c6 d6 e6 | e6:1 e6 d6 c6 b5 | d6:1 d6 c6 b5 a5 | c6:1 c6 b5 a5 g5 | b5:1 ";
constexpr std::string_view kFerryReturn =
    "/4 b4 c#5 d#5 e5 | e5:1 b4 c#5 d#5 e5 | f#5:1 c5 d5 e5 f#5 | g5:1 e5 f#5 g5 a5 | b5:1 "
    "g5 a5 b5 c6 | c6:1 b5 a5 g5 f#5 | a5:1 a5 g5 f#5 e5 | f#5:1 f#5 e5 d#5 c#5 | e5:1 ";
constexpr std::string_view kFerryLast =
    "/4 e5 f#5 g5 a5 | a5:1 a5 g5 f#5 e5 | g5:1 g5 f#5 e5 d5 | f#5:1 f#5 g5 a5 b5 | b5:1 "
    "a5 b5 c6 d6 | c6:1 c6 b5 a5 g5 | a5:1 a5 g5 f#5 e5 | f#5:1 f#5 e5 d#5 c#5 | e5:1 ";
constexpr std::string_view kFerryFirstBass =
    "/4 e3 b3 e4 b3 [g3 b3]:1/2 [g3 b3]:1/2 | d#3 a3 b3 a3 [f#3 a3]:1/2 [f#3 a3]:1/2 | "
    "e3 b3 e4 b3 [g3 b3]:1/2 [g3 b3]:1/2 | g2 e3 g3 e3 [b3 e4]:1/2 [b3 e4]:1/2 | "
    "a2 e3 a3 e3 [c4 e4]:1/2 [c4 e4]:1/2 | d3 a3 c4 a3 [f#3 c4]:1/2 [f#3 c4]:1/2 | "
    "b2 d3 g3 d3 [g3 d4]:1/2 [g3 d4]:1/2 | d#3 a3 b3 a3 [f#3 a3]:1/2 [f#3 a3]:1/2 | ";
constexpr std::string_view kFerryMiddleBass =
    "/4 g2 d3 g3 d3 [b3 d4]:1/2 [b3 d4]:1/2 | f#3 a3 d4 a3 [c4 d4]:1/2 [c4 d4]:1/2 | "
    "e3 g3 c4 g3 [c4 e4]:1/2 [c4 e4]:1/2 | g3 b3 d4 b3 [b3 d4]:1/2 [b3 d4]:1/2 | "
    "c3 g3 c4 g3 [e3 g3]:1/2 [e3 g3]:1/2 | b2 g3 d4 g3 [d3 g3]:1/2 [d3 g3]:1/2 | "
    "a2 e3 a3 e3 [c4 e4]:1/2 [c4 e4]:1/2 | d#3 f#3 a3 f#3 [a3 b3]:1/2 [a3 b3]:1/2 | ";
constexpr std::string_view kFerryReturnBass =
    "/4 e3 b3 e4 b3 [g3 b3]:1/2 [g3 b3]:1/2 | d#3 a3 b3 a3 [f#3 a3]:1/2 [f#3 a3]:1/2 | "
    "e3 b3 e4 b3 [g3 b3]:1/2 [g3 b3]:1/2 | g2 e3 g3 e3 [b3 e4]:1/2 [b3 e4]:1/2 | "
    "a2 e3 a3 e3 [c4 e4]:1/2 [c4 e4]:1/2 | c3 e3 a3 e3 [a3 e4]:1/2 [a3 e4]:1/2 | "
    "b2 f#3 a3 f#3 [a3 d#4]:1/2 [a3 d#4]:1/2 | e3 g3 b3 g3 [g3 b3]:1/2 [g3 b3]:1/2 | ";
constexpr std::string_view kFerryLastBass =
    "/4 c3 e3 a3 e3 [a3 c4]:1/2 [a3 c4]:1/2 | b2 e3 g3 e3 [g3 b3]:1/2 [g3 b3]:1/2 | "
    "a2 c3 f#3 c3 [f#3 c4]:1/2 [f#3 c4]:1/2 | g2 e3 b3 e3 [g3 b3]:1/2 [g3 b3]:1/2 | "
    "a2 e3 a3 e3 [c4 e4]:1/2 [c4 e4]:1/2 | c3 e3 a3 e3 [a3 c4]:1/2 [a3 c4]:1/2 | "
    "b2 f#3 a3 f#3 [a3 d#4]:1/2 [a3 d#4]:1/2 | [e2 b2 e3]:1 ";

MidiFile ferry_study() {
  MidiFile file = begin({"Ferry Study", 116.0, 1, true, {1, 2}, {2, 2}});
  std::int64_t tick = 0;
  for (const std::string_view music : {kFerryFirst, kFerryMiddle, kFerryReturn, kFerryLast}) {
    tick = append_music(file, 1, 0, tick, music);
  }
  std::int64_t bass_tick = kDivision;
  for (const std::string_view music :
       {kFerryFirstBass, kFerryMiddleBass, kFerryReturnBass, kFerryLastBass}) {
    bass_tick = append_music(file, 2, 1, bass_tick, music);
  }
  end(file, tick);
  return file;
}

// Mill Round. F major, a round of four two-bar strains over one ground; D minor in the middle.
constexpr std::string_view kMillRight =
    "c4:1/2 | f4:1 a4:1/2 bb4:1 a4:1/2 | g4:1 bb4:1/2 a4:1 c5:1/2 | "
    "a4:1 c5:1/2 d5:1 f5:1/2 | e5:1 g5:1/2 f5:1 c5:1/2 | "
    "f5:1/2 e5:1/2 f5:1/2 d5:1 f5:1/2 | g5:1/2 f5:1/2 g5:1/2 a5:1 c6:1/2 | "
    "c6:1 a5:1/2 bb5:1 a5:1/2 | bb5:1 g5:1/2 f5:1 a4:1/2 | "
    "d5:1 e5:1/2 f5:1 f5:1/2 | g5:1 a5:1/2 bb5:1 bb5:1/2 | a5:1 g5:1/2 e5:1 e5:1/2 | "
    "d5:1 f5:1/2 d5:1 d5:1/2 | f5:1 bb5:1/2 d6:1 d6:1/2 | c6:1 a5:1/2 f5:1 f5:1/2 | "
    "g5:1 bb5:1/2 e5:1 d5:1/2 | e5:1 g5:1/2 e5:1 c5:1/2 | "
    "a4:1 c5:1/2 d5:1 f5:1/2 | e5:1 g5:1/2 f5:1 c5:1/2 | "
    "f5:1/2 e5:1/2 f5:1/2 d5:1 f5:1/2 | g5:1/2 f5:1/2 g5:1/2 a5:1 c6:1/2 | "
    "c6:1 a5:1/2 bb5:1 a5:1/2 | bb5:1 g5:1/2 f5:1 c6:1/2 | "
    "a5:1 c6:1/2 bb5:1 a5:1/2 | g5:1 e5:1/2 f5:1 ";
constexpr std::string_view kMillLeft =
    "r:1/2 | r:3 | r:5/2 c3:1/2 | f3:1 a3:1/2 bb3:1 a3:1/2 | g3:1 bb3:1/2 a3:1 c4:1/2 | "
    "a3:1 c4:1/2 d4:1 f4:1/2 | e4:1 g4:1/2 f4:1 c4:1/2 | "
    "f4:1/2 e4:1/2 f4:1/2 d4:1 f4:1/2 | g4:1/2 f4:1/2 g4:1/2 a4:1 r:1/2 | "
    "/2 d3 a3 d4 f4 d4 a3 | bb2 d3 g3 d4 g3 d3 | c#3 e3 g3 a3 g3 e3 | d3 a3 d4 f4 d4 a3 | "
    "bb2 f3 bb3 d4 bb3 f3 | a2 f3 a3 c4 a3 f3 | g2 d3 bb3 c3 g3 bb3 | c3 g3 bb3 c4 bb3 c3 | "
    "f3:1 a3 bb3:1 a3 | g3:1 bb3 a3:1 c4 | a3:1 c4 d4:1 f4 | e4:1 g4 f4:1 c4 | "
    "f4 e4 f4 d4:1 f4 | g4 f4 g4 a4:1 c4 | f3:3/2 bb2:1 d3 | c3:3/2 [f2 c3]:1 ";

MidiFile mill_round() {
  MidiFile file = begin({"Mill Round", 90.0, -1, false, {1, 3}, {6, 3}});
  const std::int64_t tick = append_music(file, 1, 0, 0, kMillRight);
  append_music(file, 2, 1, 0, kMillLeft);
  end(file, tick);
  return file;
}

constexpr std::array<Piece, 3> kPieces = {{{"lantern-song.mid", lantern_song},
                                           {"ferry-study.mid", ferry_study},
                                           {"mill-round.mid", mill_round}}};

}  // namespace

std::span<const Piece> pieces() { return kPieces; }

}  // namespace arsis::demo
