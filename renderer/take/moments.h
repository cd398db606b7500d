// The score as a follower of a take hears it: one moment after the other, each with the keys that
// are struck there.
#pragma once

#include <array>
#include <bit>
#include <cstdint>
#include <span>
#include <vector>

#include "score/score.h"

namespace arsis {

// Keys as a set of bits.
class KeySet {
 public:
  void add(std::uint8_t key) { words_[key >> 6] |= std::uint64_t{1} << (key & 63); }
  void add(const KeySet& other) {
    words_[0] |= other.words_[0];
    words_[1] |= other.words_[1];
  }
  void remove(std::uint8_t key) { words_[key >> 6] &= ~(std::uint64_t{1} << (key & 63)); }
  bool has(std::uint8_t key) const { return (words_[key >> 6] >> (key & 63) & 1) != 0; }
  int size() const { return std::popcount(words_[0]) + std::popcount(words_[1]); }

 private:
  std::array<std::uint64_t, 2> words_{};
};

// Notes that are written for the same beat.
struct Moment {
  Beats beat;
  Seconds written;          // by the score's tempos
  std::uint32_t first = 0;  // place of its notes in Moments::notes
  std::uint32_t count = 0;
  KeySet keys;
};

struct Moments {
  std::vector<Moment> all;           // by beat
  std::vector<std::uint32_t> notes;  // indices into Score::notes, by moment, then key
  std::array<std::vector<std::uint32_t>, 128> with_key;  // the moments that a key is struck at

  std::span<const std::uint32_t> notes_of(const Moment& moment) const {
    return std::span(notes).subspan(moment.first, moment.count);
  }
};

// The moments of the notes that are `asked` for (one flag for each of Score::notes; empty: all).
Moments moments_of(const Score& score, const std::vector<bool>& asked = {});

}  // namespace arsis
