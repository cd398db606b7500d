// Ticks and the integer tempos of a file that is being written.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "score/time_map.h"

namespace arsis {

class WrittenTime {
 public:
  struct Tempo {
    std::int64_t tick = 0;
    Seconds second;  // as the tempos before it have it
    std::int64_t microseconds_per_quarter = 500'000;
  };

  // Tempo events that follow the map as near as whole microseconds a quarter note can.
  static WrittenTime following(const TimeMap& time, int division);
  // One tempo.
  static WrittenTime constant(std::int64_t microseconds_per_quarter, int division);

  // The tick nearest to a moment, at least 0. Quick for moments that rise or nearly do.
  std::int64_t tick_at(Seconds at);
  std::span<const Tempo> tempos() const { return tempos_; }

 private:
  explicit WrittenTime(int division) : division_(division) {}
  int division_;
  std::vector<Tempo> tempos_;
  std::size_t hint_ = 0;
};

}  // namespace arsis
