#include "smf/performance_writer.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <tuple>

#include "score/key_rows.h"
#include "smf/message_order.h"
#include "smf/written_time.h"

namespace arsis {
namespace {

constexpr int kFinestDivision = 960;  // ticks per quarter note, at the least

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

// One tempo for the whole performance: the score's first, where ticks at that tempo are neither so
// long that they can be heard (3 ms) nor so short that a file cannot count them.
std::int64_t tempo_of_ticks(const Score& score) {
  return std::clamp<std::int64_t>(score.tempo.changes().front().microseconds_per_quarter, 50'000,
                                  3'000'000);
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
                  : WrittenTime::constant(tempo_of_ticks(score), division_)),
        placed_(score.tracks.size()) {}

  MidiFile write() {
    file_.division = division_;
    file_.tracks.resize(score_.tracks.size());
    file_.format = score_.tracks.size() == 1 ? 0 : 1;
    place_tempos();
    strike();
    place_messages();
    place_notes();
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
    std::vector<std::int64_t> ticks(score_.messages.size());
    std::ranges::transform(score_.messages, ticks.begin(),
                           [&](const Message& message) { return tick_of(message.at); });
    keep_order(score_, strikes_, ticks);
    for (std::size_t i = 0; i < ticks.size(); ++i) {
      const Message& message = score_.messages[i];
      placed_[message.track].push_back({ticks[i], rank_of(message.sequence),
                                        static_cast<std::uint32_t>(i), Placed::Kind::kMessage});
    }
  }

  // The ticks of the notes.
  void strike() {
    strikes_.resize(score_.notes.size());
    for (std::size_t i = 0; i < strikes_.size(); ++i) {
      const PerformedNote& note = performance_.notes[i];
      if (!note.sounds) continue;
      const std::int64_t on = time_.tick_at(note.onset);
      strikes_[i] = {on, std::max(on + 1, time_.tick_at(note.end))};
    }
    separate_keys();
  }

  // In the score's order, which is nearly that of the performance: quicker to sort.
  void place_notes() {
    for (std::size_t i = 0; i < strikes_.size(); ++i) {
      const Strike& strike = strikes_[i];
      if (!strike.sounds()) continue;
      const Note& note = score_.notes[i];
      std::vector<Placed>& track = placed_[score_.parts[note.part].track];
      const auto item = static_cast<std::uint32_t>(i);
      track.push_back({strike.on, rank_of(note.sequence), item, Placed::Kind::kOn});
      track.push_back({strike.off, 0, item, Placed::Kind::kOff});
    }
  }

  // Goes through the notes of each key and channel in order of onset.
  void separate_keys() {
    KeyRows rows(score_);
    const auto on = [&](std::uint32_t note) { return strikes_[note].on; };
    for (std::size_t key = 0; key < kChannelKeys; ++key) {
      const std::span<std::uint32_t> row = rows.row(key);
      if (!std::ranges::is_sorted(row, {}, on)) std::ranges::stable_sort(row, {}, on);
      separate(row);
    }
  }

  // Rounding may have brought notes of one key together: of two on one tick the first stays alone.
  // One that ends where another track strikes the key again ends a tick before, since a player may
  // merge the tracks in any order; where it has no tick to give, the two are one as well.
  void separate(std::span<const std::uint32_t> row) {
    const auto track_of = [&](std::uint32_t note) {
      return score_.parts[score_.notes[note].part].track;
    };
    std::optional<std::uint32_t> before;
    for (const std::uint32_t note : row) {
      Strike& strike = strikes_[note];
      if (!strike.sounds()) continue;
      if (before) {
        Strike& previous = strikes_[*before];
        const std::int64_t latest = track_of(*before) == track_of(note) ? strike.on : strike.on - 1;
        if (latest <= previous.on) {
          previous.off = std::max(previous.off, strike.off);
          strike.off = strike.on;
          continue;
        }
        previous.off = std::min(previous.off, latest);
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
