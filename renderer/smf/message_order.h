// The order of messages among the notes of a performance.
#pragma once

#include <cstdint>
#include <span>

#include "score/score.h"
#include "smf/midi_file.h"

namespace arsis {

// A note in ticks; without length where it does not sound.
struct Strike {
  std::int64_t on = 0;
  std::int64_t off = 0;

  bool sounds() const { return off > on; }
};

// A note may be played a little before or after its beat. A channel message that the score has
// before a note of its channel then still comes before it, and one that the score has after it
// still comes after: the message moves no farther than that takes, and where both cannot be, it
// comes before. Channel messages keep their order. An exclusive minds the notes of every channel;
// meta events and escapes are not moved.
//   strikes        one for each of Score::notes
//   message_ticks  one for each of Score::messages, as their moments have it; moved here
void keep_order(const Score& score, std::span<const Strike> strikes,
                std::span<std::int64_t> message_ticks);

}  // namespace arsis
