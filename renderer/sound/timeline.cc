#include "sound/timeline.h"

#include <algorithm>
#include <tuple>

namespace arsis {
namespace {

enum Rank : std::uint8_t { kOff, kBefore, kOn, kAfter };

struct Ranked {
  TimedMessage message;
  Rank rank = kBefore;
  std::uint32_t sequence = 0;
};

// The latest onset met in a track, and the place in the file of its first note there.
struct LatestOnset {
  Beats at{-1.0};
  std::uint32_t sequence = 0;

  void meet(const Note& note) {
    sequence = note.onset == at ? std::min(sequence, note.sequence) : note.sequence;
    at = note.onset;
  }
};

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
    all.push_back({on, kOn, note.sequence});
    all.push_back({off, kOff, note.sequence});
  }
}

void add_messages(std::vector<Ranked>& all, const Score& score, const Performance& performance) {
  std::vector<LatestOnset> latest(score.tracks.size());
  std::size_t note = 0;
  for (std::size_t i = 0; i < score.messages.size(); ++i) {
    const Message& message = score.messages[i];
    const auto bytes = score.bytes_of(message);
    for (; note < score.notes.size() && score.notes[note].onset <= message.at; ++note) {
      latest[score.parts[score.notes[note].part].track].meet(score.notes[note]);
    }
    TimedMessage timed;
    timed.at = performance.time.seconds_at(message.at);
    if (bytes[0] == 0xF0) {
      timed.exclusive = static_cast<std::uint32_t>(i);
    } else if (bytes[0] < 0xF0) {
      std::copy(bytes.begin(), bytes.end(), timed.bytes.begin());
      timed.size = static_cast<std::uint8_t>(bytes.size());
    } else {
      continue;  // meta events and escapes make no sound
    }
    const LatestOnset& onset = latest[message.track];
    const bool after_a_note = onset.at == message.at && onset.sequence < message.sequence;
    all.push_back({timed, after_a_note ? kAfter : kBefore, message.sequence});
  }
}

}  // namespace

std::vector<TimedMessage> timeline(const Score& score, const Performance& performance) {
  std::vector<Ranked> all;
  all.reserve(score.notes.size() * 2 + score.messages.size());
  add_notes(all, score, performance);
  add_messages(all, score, performance);
  std::ranges::stable_sort(all, [](const Ranked& a, const Ranked& b) {
    return std::tuple(a.message.at, a.rank, a.sequence) <
           std::tuple(b.message.at, b.rank, b.sequence);
  });
  std::vector<TimedMessage> messages(all.size());
  std::ranges::transform(all, messages.begin(), &Ranked::message);
  return messages;
}

}  // namespace arsis
