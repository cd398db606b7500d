// The score: what was written, free of any file format. Notes by part, bars, tempo, keys, and every
// other message of the file, kept unread so that nothing is lost on the way to a performance.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/units.h"
#include "score/bars.h"
#include "score/tempo_map.h"

namespace arsis {

// A written note. Compact, because a long score holds a million.
struct Note {
  Beats onset;
  Beats end;                          // written end, after the onset
  std::uint32_t sequence = 0;         // of its note-on among its track's events, in file order
  std::uint16_t part = 0;             // index into Score::parts
  std::uint8_t key = 60;              // MIDI note number 0..127
  Velocity velocity;                  // as the file has it
  std::uint8_t release_velocity = 0;  // 0..127, of the note-off
  bool grace = false;                 // ornaments the note after it; no member of a melody

  Beats length() const { return end - onset; }
};

// The channel of percussion, 10 as musicians count. Source: General MIDI 1.
inline constexpr std::uint8_t kDrumChannel = 9;

// Which of the hands that share one track and channel.
enum class Hand : std::uint8_t { kBoth, kRight, kLeft };

// The notes of one channel of one track, or those of one hand in it: a hand or an instrument.
struct Part {
  std::string name;          // the track's name, as the file has it; may be empty
  std::uint16_t track = 0;   // index into Score::tracks
  int number = 1;            // of the track among those that hold notes, from 1, as plans count
  std::uint8_t channel = 0;  // 0..15
  Hand hand = Hand::kBoth;   // both, unless with_hands() has told them apart (score/hands.h)
};

inline constexpr int kOctave = 12;  // semitones

// Whether its keys are pitches, and not the instruments of percussion.
inline bool is_pitched(const Part& part) { return part.channel != kDrumChannel; }

struct Track {
  std::string name;
  Beats end;  // of its end-of-track event
};

// A message that is neither a note, nor a tempo, nor an end of track: controllers, programs,
// lyrics, time and key signatures, system-exclusive. Its bytes are as in a Standard MIDI File,
// without delta time and without the length field: FF tt data..., F0 data..., F7 data..., or a
// channel message.
struct Message {
  Beats at;
  std::uint32_t sequence = 0;  // among its track's events, in file order
  std::uint32_t first = 0;     // place of its bytes in Score::message_bytes
  std::uint32_t size = 0;
  std::uint16_t track = 0;  // index into Score::tracks
};

struct KeySignature {
  Beats at;
  int sharps = 0;  // -7 (seven flats) .. 7
  bool minor = false;
};

struct Score {
  // The longest score accepted, in quarter notes: over two days of music at 300 a minute.
  static constexpr Beats kLongest{1'000'000.0};

  std::string file;   // where it came from, for messages
  std::string title;  // the sequence name; may be empty
  int division =
      480;  // ticks per quarter note of the file; every moment is a whole number of these
  std::vector<Note> notes;  // by onset, then part, then key; no two of one key and channel overlap
                            // within a track
  std::vector<Part> parts;  // by track, then channel, then hand; each has notes
  std::vector<Track> tracks;
  Bars bars = Bars::of({}, {1.0});
  TempoMap tempo;
  std::vector<TimeSignatureChange> signatures;  // by time; what bars were made of
  std::vector<KeySignature> keys;               // by time
  std::vector<Message> messages;                // by time, then track, then sequence
  std::vector<std::uint8_t> message_bytes;

  std::span<const std::uint8_t> bytes_of(const Message& message) const {
    return std::span(message_bytes).subspan(message.first, message.size);
  }
  // Where the last note ends.
  Beats end() const;
  // The moment as a whole number of ticks of the file.
  Beats snapped(Beats at) const;
};

// The same score at another speed, a ratio above 0: all its tempos times that.
Score with_speed(Score score, double speed);

// The same score with its bars counted from a first bar of the length `pickup`.
Score with_pickup(Score score, Beats pickup);

}  // namespace arsis
