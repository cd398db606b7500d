// Chance that is the same on every machine for the same seed: the standard fixes the numbers of
// std::mt19937_64, but not those of its distributions, so that these are our own.
#pragma once

#include <cstddef>
#include <cstdint>
#include <random>
#include <utility>
#include <vector>

namespace arsis {

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}

  // A whole number from 0 to count - 1, each as likely as any other; `count` is above 0.
  std::size_t below(std::size_t count) {
    // What lies beyond the last whole multiple of `count` would favour the small ones.
    const std::uint64_t size = count;
    const std::uint64_t beyond = (std::uint64_t{0} - size) % size;  // 2^64 mod size
    std::uint64_t drawn = engine_();
    while (drawn < beyond) drawn = engine_();
    return static_cast<std::size_t>(drawn % size);
  }

  // Each order as likely as any other.
  template <class Value>
  void shuffle(std::vector<Value>& values) {
    for (std::size_t i = values.size(); i > 1; --i) std::swap(values[i - 1], values[below(i)]);
  }

 private:
  std::mt19937_64 engine_;
};

}  // namespace arsis
