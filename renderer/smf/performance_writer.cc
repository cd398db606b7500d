#include "smf/performance_writer.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <optional>
#include <tuple>

#include "smf/written_time.h"

namespace arsis {
namespace {

constexpr int kFinestDivision = 960;  // ticks per quarter note, at the least
constexpr std::size_t kKeys = 16 * 128;

// A note in ticks; without length where it does not sound.
struct Strike {
  std::int64_t on = 0;
  std::int64_t off = 0;
};

// An event on its way into a track.
struct Placed {
  std::int64_t tick = 0;
  std::uint64_t rank = 0;  // within its tick
  std::uint32_t item = 0;  // a tempo, a message or a note
  enum class Kind : std::uint8_t { kTempo, kOff, kMessage, kOn } kind = Kind::kMessage;
};

int written_division(int division) {
  return division * std::max(1, (kFinestDivision + division - 1) / division);
}

class Writer {
 public:
  Writer(const Score& score, const Performance& performance, TimingForm form)
      : score_(score),
        performance_(performance),
        form_(form),
        division_(written_division(score.division)),
        time_(form == TimingForm::kTempoMap
                  ? WrittenTime::following(performance.time, division_)
                  : WrittenTime::constant(score.tempo.changes().front().microseconds_per_quarter,
                                          division_)),
        placed_(score.tracks.size()) {}

  MidiFile write() {
    file_.division = division_;
    file_.tracks.resize(score_.tracks.size());
    file_.format = score_.tracks.size() == 1 ? 0 : 1;
    place_tempos();
    place_messages();
    place_strikes();
    for (std::size_t i = 0; i < placed_.size(); ++i) fill(i);
    return std::move(file_);
  }

 private:
  // The tick of a moment of the score.
  std::int64_t tick_of(Beats moment) {
    if (form_ == TimingForm::kTempoMap) return std::llround(moment.value * division_);
    return time_.tick_at(performance_.time.seconds_at(moment));
  }

  void place_tempos() {
    for (std::size_t i = 0; i < time_.tempos().size(); ++i) {
      placed_[0].push_back(
          {time_.tempos()[i].tick, 0, static_cast<std::uint32_t>(i), Placed::Kind::kTempo});
    }
  }

  // Within a tick: tempos and ends of notes, then the rest in the order of the score's file.
  static std::uint64_t rank_of(std::uint32_t sequence) { return 1 + std::uint64_t{sequence}; }

  void place_messages() {
    for (std::size_t i = 0; i < score_.messages.size(); ++i) {
      const Message& message = score_.messages[i];
      placed_[message.track].push_back({tick_of(message.at), rank_of(message.sequence),
                                        static_cast<std::uint32_t>(i), Placed::Kind::kMessage});
    }
  }

  void place_strikes() {
    strikes_.resize(score_.notes.size());
    for (std::size_t i = 0; i < strikes_.size(); ++i) {
      const PerformedNote& note = performance_.notes[i];
      if (!note.sounds) continue;
      const std::int64_t on = time_.tick_at(note.onset);
      strikes_[i] = {on, std::max(on + 1, time_.tick_at(note.end))};
    }
    separate_keys();
    // In the score's order, which is nearly that of the performance: quicker to sort.
    for (std::size_t i = 0; i < strikes_.size(); ++i) {
      const Strike& strike = strikes_[i];
      if (strike.off <= strike.on) continue;
      const Note& note = score_.notes[i];
      std::vector<Placed>& track = placed_[score_.parts[note.part].track];
      const auto item = static_cast<std::uint32_t>(i);
      track.push_back({strike.on, rank_of(note.sequence), item, Placed::Kind::kOn});
      track.push_back({strike.off, 0, item, Placed::Kind::kOff});
    }
  }

  // Goes through the notes of each key and channel in order of onset.
  void separate_keys() {
    const auto key_of = [&](std::size_t note) {
      return score_.parts[score_.notes[note].part].channel * 128u + score_.notes[note].key;
    };
    std::array<std::size_t, kKeys + 1> begin{};
    for (std::size_t i = 0; i < strikes_.size(); ++i) ++begin[key_of(i) + 1];
    std::partial_sum(begin.begin(), begin.end(), begin.begin());
    std::vector<std::uint32_t> rows(strikes_.size());
    std::array<std::size_t, kKeys + 1> place = begin;
    for (std::size_t i = 0; i < strikes_.size(); ++i) {
      rows[place[key_of(i)]++] = static_cast<std::uint32_t>(i);
    }
    const auto on = [&](std::uint32_t note) { return strikes_[note].on; };
    for (std::size_t key = 0; key < kKeys; ++key) {
      const std::span<std::uint32_t> row(rows.data() + begin[key], begin[key + 1] - begin[key]);
      if (!std::ranges::is_sorted(row, {}, on)) std::ranges::stable_sort(row, {}, on);
      separate(row);
    }
  }

  // Rounding may have brought notes of one key together: of two on one tick the first stays alone,
  // and one that ends where another track strikes the key again ends a tick before, since a player
  // may merge the tracks in any order.
  void separate(std::span<const std::uint32_t> row) {
    const auto track_of = [&](std::uint32_t note) {
      return score_.parts[score_.notes[note].part].track;
    };
    std::optional<std::uint32_t> before;
    for (const std::uint32_t note : row) {
      Strike& strike = strikes_[note];
      if (strike.off <= strike.on) continue;  // silent
      if (before && strikes_[*before].on == strike.on) {
        strikes_[*before].off = std::max(strikes_[*before].off, strike.off);
        strike.off = strike.on;
        continue;
      }
      if (before) {
        Strike& previous = strikes_[*before];
        const std::int64_t latest = track_of(*before) == track_of(note) ? strike.on : strike.on - 1;
        previous.off = std::max(previous.on + 1, std::min(previous.off, latest));
      }
      before = note;
    }
  }

  void fill(std::size_t index) {
    std::vector<Placed>& placed = placed_[index];
    std::ranges::sort(placed, [](const Placed& a, const Placed& b) {
      return std::tuple(a.tick, a.rank, a.kind, a.item) <
             std::tuple(b.tick, b.rank, b.kind, b.item);
    });
    file_.tracks[index].events.reserve(placed.size());
    for (const Placed& event : placed) append(index, event);
    const std::int64_t last = placed.empty() ? 0 : placed.back().tick;
    file_.tracks[index].end_tick = std::max(last, tick_of(score_.tracks[index].end));
    placed = {};
  }

  void append(std::size_t track, const Placed& event) {
    if (event.kind == Placed::Kind::kMessage) {
      file_.append(track, event.tick, score_.bytes_of(score_.messages[event.item]));
      return;
    }
    if (event.kind == Placed::Kind::kTempo) {
      const auto tempo =
          static_cast<std::uint32_t>(time_.tempos()[event.item].microseconds_per_quarter);
      const std::array<std::uint8_t, 5> bytes = {0xFF, 0x51, static_cast<std::uint8_t>(tempo >> 16),
                                                 static_cast<std::uint8_t>(tempo >> 8),
                                                 static_cast<std::uint8_t>(tempo)};
      file_.append(track, event.tick, bytes);
      return;
    }
    const Note& note = score_.notes[event.item];
    const bool on = event.kind == Placed::Kind::kOn;
    const int velocity =
        on ? performance_.notes[event.item].velocity.value() : int{note.release_velocity};
    const std::array<std::uint8_t, 3> bytes = {
        static_cast<std::uint8_t>((on ? 0x90 : 0x80) | score_.parts[note.part].channel), note.key,
        static_cast<std::uint8_t>(velocity)};
    file_.append(track, event.tick, bytes);
  }

  const Score& score_;
  const Performance& performance_;
  TimingForm form_;
  int division_;
  WrittenTime time_;
  MidiFile file_;
  std::vector<Strike> strikes_;              // one for each note
  std::vector<std::vector<Placed>> placed_;  // by track
};

}  // namespace

MidiFile midi_of(const Score& score, const Performance& performance, TimingForm form) {
  return Writer(score, performance, form).write();
}

}  // namespace arsis
