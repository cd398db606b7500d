#include "smf/message_order.h"

#include <algorithm>
#include <array>
#include <limits>
#include <tuple>
#include <vector>

namespace arsis {
namespace {

constexpr std::uint8_t kChannels = 16;
constexpr std::uint8_t kEveryChannel = kChannels;

// A note or a message, in the order of the score.
struct Turn {
  Beats at;
  std::uint32_t sequence = 0;
  std::uint32_t item = 0;  // a note or a message
  std::uint16_t track = 0;
  std::uint8_t channel = 0;  // or kEveryChannel
  bool is_note = false;
};

// The bound that the notes met so far set in each channel.
class Bounds {
 public:
  explicit Bounds(std::int64_t none) { ticks_.fill(none); }

  void raise(std::uint8_t channel, std::int64_t tick) {
    ticks_[channel] = std::max(ticks_[channel], tick);
  }
  void lower(std::uint8_t channel, std::int64_t tick) {
    if (channel == kEveryChannel) {
      for (std::int64_t& bound : ticks_) bound = std::min(bound, tick);
    } else {
      ticks_[channel] = std::min(ticks_[channel], tick);
    }
  }
  std::int64_t highest(std::uint8_t channel) const {
    return channel == kEveryChannel ? *std::ranges::max_element(ticks_) : ticks_[channel];
  }
  std::int64_t lowest(std::uint8_t channel) const {
    return channel == kEveryChannel ? *std::ranges::min_element(ticks_) : ticks_[channel];
  }

 private:
  std::array<std::int64_t, kChannels> ticks_{};
};

void add_messages(std::vector<Turn>& turns, const Score& score) {
  for (std::size_t i = 0; i < score.messages.size(); ++i) {
    const Message& message = score.messages[i];
    const std::uint8_t status = score.bytes_of(message)[0];
    if (status > kExclusive) continue;
    const auto channel = status == kExclusive ? kEveryChannel : std::uint8_t(status & 0x0F);
    turns.push_back({message.at, message.sequence, static_cast<std::uint32_t>(i), message.track,
                     channel, false});
  }
}

void add_notes(std::vector<Turn>& turns, const Score& score, std::span<const Strike> strikes) {
  for (std::size_t i = 0; i < strikes.size(); ++i) {
    if (!strikes[i].sounds()) continue;
    const Note& note = score.notes[i];
    const Part& part = score.parts[note.part];
    turns.push_back(
        {note.onset, note.sequence, static_cast<std::uint32_t>(i), part.track, part.channel, true});
  }
}

}  // namespace

void keep_order(const Score& score, std::span<const Strike> strikes,
                std::span<std::int64_t> message_ticks) {
  std::vector<Turn> turns;
  add_messages(turns, score);
  if (turns.empty()) return;
  add_notes(turns, score, strikes);
  std::ranges::sort(turns, [](const Turn& a, const Turn& b) {
    return std::tuple(a.at, a.track, a.sequence) < std::tuple(b.at, b.track, b.sequence);
  });
  Bounds latest(0);
  for (const Turn& turn : turns) {
    if (turn.is_note) {
      latest.raise(turn.channel, strikes[turn.item].on);
    } else {
      std::int64_t& tick = message_ticks[turn.item];
      tick = std::max(tick, latest.highest(turn.channel));
    }
  }
  Bounds next(std::numeric_limits<std::int64_t>::max());
  for (std::size_t i = turns.size(); i-- > 0;) {
    const Turn& turn = turns[i];
    if (turn.is_note) {
      next.lower(turn.channel, strikes[turn.item].on);
    } else {
      std::int64_t& tick = message_ticks[turn.item];
      tick = std::min(tick, next.lowest(turn.channel));
      next.lower(turn.channel, tick);
    }
  }
}

}  // namespace arsis
