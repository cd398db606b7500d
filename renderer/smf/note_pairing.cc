#include "smf/note_pairing.h"

#include <algorithm>
#include <limits>

#include "score/key_rows.h"

namespace arsis {
namespace {

constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

struct Key {
  std::size_t open = kNone;     // its sounding note
  std::size_t latest = kNone;   // its last note, sounding or not
  std::uint32_t opened_at = 0;  // byte of its note-on
  std::int64_t spare = 0;       // releases less strikes in the rest of the track
  std::uint32_t skip = 0;       // releases to come that belong to strikes already ended
};

class Pairing {
 public:
  Pairing(const MidiFile& file, std::size_t track, DamageReport& damage)
      : file_(file),
        track_(file.tracks[track]),
        number_(track + 1),
        damage_(damage),
        keys_(kChannelKeys) {}

  std::vector<PairedNote> run() {
    for (const MidiEvent& event : track_.events) {
      const auto bytes = file_.bytes_of(event);
      if (is_on(bytes)) --key_of(bytes).spare;
      if (is_off(bytes)) ++key_of(bytes).spare;
    }
    std::uint32_t sequence = 0;
    for (const MidiEvent& event : track_.events) {
      const auto bytes = file_.bytes_of(event);
      if (is_on(bytes)) strike(event, sequence);
      if (is_off(bytes)) release(event);
      ++sequence;
    }
    for (Key& key : keys_) {
      if (key.open == kNone) continue;
      damage_.add(number_, key.opened_at, "a note that nothing ends", "it ends with its track");
      close(key, std::max(track_.end_tick, notes_[key.open].on + 1));
    }
    std::erase_if(notes_, [](const PairedNote& note) { return note.off < 0; });
    return std::move(notes_);
  }

 private:
  static bool is_on(std::span<const std::uint8_t> bytes) {
    return (bytes[0] & 0xF0) == 0x90 && bytes[2] > 0;
  }
  static bool is_off(std::span<const std::uint8_t> bytes) {
    return (bytes[0] & 0xF0) == 0x80 || ((bytes[0] & 0xF0) == 0x90 && bytes[2] == 0);
  }
  Key& key_of(std::span<const std::uint8_t> bytes) {
    return keys_[(bytes[0] & 0x0Fu) * 128u + bytes[1]];
  }

  void close(Key& key, std::int64_t tick) {
    PairedNote& note = notes_[key.open];
    if (tick <= note.on) {
      damage_.add(number_, key.opened_at, "a note without length", "it lasts one tick");
    }
    note.off = std::max(tick, note.on + 1);
    key.open = kNone;
  }

  void strike(const MidiEvent& event, std::uint32_t sequence) {
    const auto bytes = file_.bytes_of(event);
    Key& key = key_of(bytes);
    const std::int64_t spare = key.spare++;
    if (key.open != kNone) {
      // Whether the note before has a release of its own to come.
      if (spare > key.skip) ++key.skip;
      if (notes_[key.open].on == event.tick) {
        damage_.add(number_, event.offset, "a key struck twice at once",
                    "it is taken for one note");
        PairedNote& note = notes_[key.open];
        note.velocity = std::max(note.velocity, bytes[2]);
        return;
      }
      damage_.add(number_, event.offset, "a key struck again before it is released",
                  "the note before ends there");
      close(key, event.tick);
    }
    if (key.latest != kNone && notes_[key.latest].off > event.tick) {
      // Only a note without length, lengthened to a tick, can reach past the next strike.
      notes_[key.latest].off = notes_[key.latest].on < event.tick ? event.tick : -1;
    }
    key.open = key.latest = notes_.size();
    key.opened_at = event.offset;
    notes_.push_back({event.tick, event.tick, sequence, static_cast<std::uint8_t>(bytes[0] & 0x0F),
                      bytes[1], bytes[2], 0});
  }

  void release(const MidiEvent& event) {
    const auto bytes = file_.bytes_of(event);
    Key& key = key_of(bytes);
    --key.spare;
    if (key.skip > 0) {
      --key.skip;
    } else if (key.open == kNone) {
      damage_.add(number_, event.offset, "a note end without a note", "it is left out");
    } else {
      const bool has_velocity = (bytes[0] & 0xF0) == 0x80;
      notes_[key.open].release_velocity = has_velocity ? bytes[2] : std::uint8_t{0};
      close(key, event.tick);
    }
  }

  const MidiFile& file_;
  const MidiTrack& track_;
  std::size_t number_;
  DamageReport& damage_;
  std::vector<Key> keys_;
  std::vector<PairedNote> notes_;
};

}  // namespace

std::vector<PairedNote> pair_notes(const MidiFile& file, std::size_t track, DamageReport& damage) {
  return Pairing(file, track, damage).run();
}

}  // namespace arsis
