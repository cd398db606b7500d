// The score's written tempo: beats to seconds and back, integrated exactly (each stretch between
// two tempo marks is a straight line; nothing is stepped or sampled).
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "base/units.h"

namespace arsis {

struct TempoChange {
  Beats at;
  std::int64_t microseconds_per_quarter = 500'000;  // as a MIDI file says it; 1 .. 16,777,215
};

class TempoMap {
 public:
  // Before the first change, and without any, the tempo is 120 quarter notes a minute (Standard
  // MIDI Files 1.0, "Set Tempo"). Changes come in order of time; of several at one moment the last
  // counts.
  TempoMap() : TempoMap(std::span<const TempoChange>{}) {}
  explicit TempoMap(std::span<const TempoChange> changes);

  // Seconds from the start of the score, for any moment at or after it.
  Seconds seconds_at(Beats at) const;
  Beats beats_at(Seconds at) const;
  std::int64_t microseconds_per_quarter_at(Beats at) const;

  // At least one change, the first at beat 0.
  std::span<const TempoChange> changes() const { return changes_; }

 private:
  std::vector<TempoChange> changes_;
  std::vector<Seconds> seconds_;  // of each change
};

}  // namespace arsis
