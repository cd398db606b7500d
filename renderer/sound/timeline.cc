#include "sound/timeline.h"

#include <algorithm>
#include <cassert>
#include <limits>
#include <optional>
#include <span>
#include <tuple>
#include <utility>

#include "score/latest_onset.h"

namespace arsis {
namespace {

enum Rank : std::uint8_t { kOff, kBefore, kOn, kAfter };

struct Ranked {
  TimedMessage message;
  Rank rank = kBefore;
};

constexpr Seconds kNotStruck{std::numeric_limits<double>::infinity()};

void add_notes(std::vector<Ranked>& all, const Score& score, const Performance& performance) {
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const PerformedNote& played = performance.notes[i];
    if (!played.sounds) continue;
    const Note& note = score.notes[i];
    const auto channel = score.parts[note.part].channel;
    TimedMessage on;
    on.at = played.onset;
    on.bytes = {static_cast<std::uint8_t>(0x90 | channel), note.key,
                static_cast<std::uint8_t>(played.velocity.value())};
    on.size = 3;
    TimedMessage off;
    off.at = played.end;
    off.bytes = {static_cast<std::uint8_t>(0x80 | channel), note.key, note.release_velocity};
    off.size = 3;
    on.place = off.place = static_cast<std::uint32_t>(i);
    all.push_back({on, kOn});
    all.push_back({off, kOff});
  }
}

// The notes that the score has at one moment after another: when the first of each channel is
// struck.
class Chords {
 public:
  Chords(const Score& score, const Performance& performance)
      : score_(score), performance_(performance) {}

  // Moments may only rise from call to call.
  void go_to(Beats moment) {
    if (moment == moment_) return;
    moment_ = moment;
    struck_.fill(kNotStruck);
    const std::vector<Note>& notes = score_.notes;
    while (note_ < notes.size() && notes[note_].onset < moment) ++note_;
    for (; note_ < notes.size() && notes[note_].onset == moment; ++note_) {
      if (!performance_.notes[note_].sounds) continue;
      Seconds& first = struck_[score_.parts[notes[note_].part].channel];
      first = std::min(first, performance_.notes[note_].onset);
    }
  }
  Seconds first_of(std::size_t channel) const { return struck_[channel]; }
  Seconds first() const { return *std::ranges::min_element(struck_); }

 private:
  const Score& score_;
  const Performance& performance_;
  std::array<Seconds, kChannels> struck_{};
  Beats moment_{-1.0};
  std::size_t note_ = 0;
};

bool is_exclusive(const TimedMessage& message) { return message.size == 0; }

// The score's message `place`, at its moment; none where it makes no sound (a meta event, an
// escape).
std::optional<TimedMessage> timed(const Score& score, const Performance& performance,
                                  std::size_t place) {
  const Message& message = score.messages[place];
  const auto bytes = score.bytes_of(message);
  TimedMessage made;
  made.at = performance.time.seconds_at(message.at);
  made.place = static_cast<std::uint32_t>(place);
  if (bytes.empty() || bytes[0] < 0x80 || bytes[0] > 0xF0) return std::nullopt;
  if (bytes[0] == 0xF0) return made;
  if (bytes.size() > made.bytes.size()) return std::nullopt;
  std::ranges::copy(bytes, made.bytes.begin());
  made.size = static_cast<std::uint8_t>(bytes.size());
  return made;
}

void add_messages(std::vector<Ranked>& all, const Score& score, const Performance& performance) {
  std::vector<LatestOnset> latest(score.tracks.size());
  Chords chords(score, performance);
  std::size_t note = 0;
  for (std::size_t i = 0; i < score.messages.size(); ++i) {
    const Message& message = score.messages[i];
    for (; note < score.notes.size() && score.notes[note].onset <= message.at; ++note) {
      latest[score.parts[score.notes[note].part].track].meet(score.notes[note]);
    }
    std::optional<TimedMessage> found = timed(score, performance, i);
    if (!found) continue;
    TimedMessage& made = *found;
    const LatestOnset& onset = latest[message.track];
    const bool after_a_note = onset.at == message.at && onset.sequence < message.sequence;
    if (!after_a_note) {
      chords.go_to(message.at);
      made.at = std::min(
          made.at, is_exclusive(made) ? chords.first() : chords.first_of(made.bytes[0] & 0x0F));
    }
    all.push_back({made, after_a_note ? kAfter : kBefore});
  }
}

// What precedes a message on its channel goes before it still, though the message was drawn forward
// or comes before the notes of its moment. `messages` are in the order of the score.
void keep_order(std::span<Ranked> messages) {
  using Place = std::pair<Seconds, Rank>;
  std::array<Place, kChannels> limits;
  limits.fill({kNotStruck, kAfter});
  for (std::size_t i = messages.size(); i-- > 0;) {
    Ranked& ranked = messages[i];
    const std::size_t channel = ranked.message.bytes[0] & 0x0F;
    const bool for_all = is_exclusive(ranked.message);
    const Place latest = for_all ? *std::ranges::min_element(limits) : limits[channel];
    const Place place = std::min(latest, Place{ranked.message.at, ranked.rank});
    ranked.message.at = place.first;
    ranked.rank = place.second;
    if (for_all) {
      limits.fill(place);
    } else {
      limits[channel] = place;
    }
  }
}

}  // namespace

std::span<const std::uint8_t> bytes_of(const TimedMessage& message, const Score& score) {
  if (message.size > 0) return std::span(message.bytes).first(message.size);
  return score.bytes_of(score.messages[message.place]);
}

std::vector<TimedMessage> timeline(const Score& score, const Performance& performance) {
  assert(performance.notes.size() == score.notes.size());
  std::vector<Ranked> all;
  all.reserve(score.notes.size() * 2 + score.messages.size());
  add_messages(all, score, performance);
  keep_order(all);
  add_notes(all, score, performance);
  std::ranges::sort(all, [](const Ranked& a, const Ranked& b) {
    return std::tuple(a.message.at, a.rank, a.message.place) <
           std::tuple(b.message.at, b.rank, b.message.place);
  });
  std::vector<TimedMessage> messages(all.size());
  std::ranges::transform(all, messages.begin(), &Ranked::message);
  return messages;
}

}  // namespace arsis
