// A performance as a row of messages for a synthesizer or a MIDI port.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "score/performance.h"
#include "score/score.h"

namespace arsis {

struct TimedMessage {  // small: a long piece makes millions
  static constexpr std::uint32_t kNoMessage = 0xFFFFFFFF;

  Seconds at;
  std::uint32_t exclusive = kNoMessage;  // index into Score::messages of a system-exclusive
  std::array<std::uint8_t, 3> bytes{};   // of a channel message, its status first
  std::uint8_t size = 0;                 // of a channel message: 2 or 3
};

// Everything that sounds or changes a sound, in order of time. Messages of the score come where the
// performance has their moment. At one time: ends of notes, then messages, then beginnings of
// notes; but a message that follows a note of its track in the score's file follows it here too.
//
// A performer may strike a note before its written moment. A message that comes before the notes of
// that moment in the score, such as their program, then comes as early as the first of them on its
// channel (a system-exclusive: on any), and what precedes it on the channel stays before it.
std::vector<TimedMessage> timeline(const Score& score, const Performance& performance);

}  // namespace arsis
