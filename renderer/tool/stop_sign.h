// How a pianist ends a recording without leaving the keys: the two lowest of the piano, held.
#pragma once

#include <optional>
#include <vector>

#include "base/units.h"
#include "smf/recording.h"

namespace arsis {

// A0 and B flat 0 held down together for a second. No music asks for that: they are a semitone
// apart under the bass of nearly all of it, and clusters there are short. Our choice.
class StopSign {
 public:
  static constexpr int kLowestKey = 21;  // A0; the other is the next above it
  static constexpr Seconds kHeld{1.0};

  // Messages come in order of time.
  void hear(const RecordedMessage& message);
  // Whether it has been given by then.
  bool is_given(Seconds now) const;

 private:
  std::optional<Seconds> down_[2];  // since when each key is down
};

// The messages without the sign at their end: neither the last strokes of its keys nor their ends.
// Only where it was given.
std::vector<RecordedMessage> without_stop_sign(std::vector<RecordedMessage> messages);

}  // namespace arsis
