// A performance as a row of messages for a synthesizer or a MIDI port.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "score/performance.h"
#include "score/score.h"

namespace arsis {

struct TimedMessage {
  static constexpr std::uint32_t kNoMessage = 0xFFFFFFFF;

  Seconds at;
  std::uint32_t exclusive = kNoMessage;  // index into Score::messages of a system-exclusive
  std::array<std::uint8_t, 3> bytes{};   // of a channel message, its status first
  std::uint8_t size = 0;                 // of a channel message: 2 or 3
};

// Everything that sounds or changes a sound, in order of time. Messages of the score come where the
// performance has their moment. At one time: ends of notes, then messages, then beginnings of
// notes; but a message that follows a note of its track in the score's file follows it here too.
std::vector<TimedMessage> timeline(const Score& score, const Performance& performance);

}  // namespace arsis
