// How loud an instrument sounds at each velocity: what stands in for the law L = 40 log10(v / 127)
// where an instrument does not follow it. A pure value; somebody measured it or typed it in.
#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <vector>

#include "base/units.h"

namespace arsis {

struct LevelPoint {
  Velocity velocity;
  Decibels level;

  friend bool operator==(const LevelPoint&, const LevelPoint&) = default;
};

// What is known of one key.
struct KeyLevels {
  int key = 60;  // MIDI note number 0..127
  std::vector<LevelPoint> points;

  friend bool operator==(const KeyLevels&, const KeyLevels&) = default;
};

// Levels are relative to velocity 127 on the same key, which is 0 dB, as in the law. Between two
// velocities the level runs straight over the logarithm of the velocity, which is exact for the law
// and its kin; below the lowest it goes on by the law; between two keys it runs straight over the
// keys, outside them it is the nearest key's.
class LevelTable {
 public:
  // Keys and velocities in any order; the last of two alike counts. Measured levels may fall here
  // and there where velocity rises: neighbours that do are pooled to their mean, the nearest rising
  // row by least squares.
  //   Source: Barlow et al. 1972, pool adjacent violators, from memory.
  // A key without velocity 127, or without a second point, says too little and is left out. A level
  // that is no number is left out.
  static LevelTable of(std::vector<KeyLevels> keys);

  // Whether no key is left: nothing can be asked then.
  bool empty() const { return keys_.empty(); }
  // What it is made of, pooled and relative to velocity 127; by key, then velocity. Making a table
  // of it gives the same table.
  const std::vector<KeyLevels>& keys() const { return keys_; }

  // At most 0 dB; not falling where velocity rises. `key` is 0..127. Not of an empty table.
  Decibels level_of(Velocity velocity, int key) const;

  // The highest velocity whose level does not pass `level`: never above it (but for a thousandth of
  // a decibel, the last digit of the model's numbers), and the next velocity would be. 1 where even
  // that is too loud, 127 at 0 dB and above. Not of an empty table.
  Velocity velocity_for(Decibels level, int key) const;

  friend bool operator==(const LevelTable& a, const LevelTable& b) { return a.keys_ == b.keys_; }

 private:
  static constexpr std::size_t kVelocities = 127;
  using Row = std::array<double, kVelocities>;  // dB, of velocities 1..127
  static Row row_of(const KeyLevels& key);

  std::vector<KeyLevels> keys_;
  std::vector<Row> rows_;  // one for each of keys_
};

// Shared by the many notes, parts and programs that sound alike. Null: the instrument follows the
// law.
using SharedLevels = std::shared_ptr<const LevelTable>;

}  // namespace arsis
