// A performance as a row of messages for a synthesizer or a MIDI port.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "score/performance.h"
#include "score/score.h"

namespace arsis {

inline constexpr std::size_t kChannels = 16;  // of MIDI

struct TimedMessage {  // small: a long piece makes millions
  Seconds at;
  std::uint32_t place = 0;  // of the note in Score::notes, or of the message in Score::messages
  std::array<std::uint8_t, 3> bytes{};  // of a channel message, its status first
  std::uint8_t size = 0;                // of a channel message: 2 or 3; 0: a system-exclusive

  bool is_note() const { return size > 0 && (bytes[0] & 0xE0) == 0x80; }  // on or off
  bool is_on() const { return size > 0 && (bytes[0] & 0xF0) == 0x90; }
};

// As it goes to an instrument.
std::span<const std::uint8_t> bytes_of(const TimedMessage& message, const Score& score);

// Everything that sounds or changes a sound, in order of time. Messages of the score come where the
// performance has their moment. At one time: ends of notes, then messages, then beginnings of
// notes; but a message that follows a note of its track in the score's file follows it here too.
//
// A performer may strike a note before its written moment. A message that comes before the notes of
// that moment in the score, such as their program, then comes as early as the first of them on its
// channel (a system-exclusive: on any), and what precedes it on the channel stays before it.
std::vector<TimedMessage> timeline(const Score& score, const Performance& performance);

}  // namespace arsis
