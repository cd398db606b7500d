// What of the model is to be heard: which levels, how much of them, whether the touch is there, and
// which parts.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "base/units.h"
#include "plan/tuning.h"
#include "score/performance.h"

namespace arsis {

struct Layers {
  std::array<bool, kLevels> heard = {true, true, true, true};  // by Level
  // Ratio 0..2: scales depths, slowing, linger, broadening, breath, and the closing ritardando,
  // which belongs to the piece.
  double amount = 1.0;
  bool touch = true;                  // balance, voicing, lead and articulation
  std::optional<std::uint64_t> seed;  // for unevenness; none: none
  std::vector<Hearing> parts;         // one for each of Score::parts; empty: all are heard

  double scale(Level level) const { return heard[index_of(level)] ? amount : 0.0; }
  Decibels depth(const Tuning& tuning, Level level) const {
    return tuning.depth(level) * scale(level);
  }
};

}  // namespace arsis
