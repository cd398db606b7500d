// The notes of each key: what no instrument can strike twice at once.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "score/score.h"

namespace arsis {

// Keys of all channels in one row: channel * 128 + key number.
inline constexpr std::size_t kChannelKeys = std::size_t{16} * 128;
std::size_t channel_key(const Score& score, std::size_t note);

// Indices of all notes, key by key, each key's in the score's order.
class KeyRows {
 public:
  explicit KeyRows(const Score& score);
  std::span<std::uint32_t> row(std::size_t key) {
    return std::span(notes_).subspan(begin_[key], begin_[key + 1] - begin_[key]);
  }

 private:
  std::array<std::size_t, kChannelKeys + 1> begin_{};
  std::vector<std::uint32_t> notes_;
};

}  // namespace arsis
