#include "score/key_rows.h"

#include <numeric>

namespace arsis {

std::size_t channel_key(const Score& score, std::size_t note) {
  const Note& written = score.notes[note];
  return std::size_t{score.parts[written.part].channel} * 128 + written.key;
}

KeyRows::KeyRows(const Score& score) : notes_(score.notes.size()) {
  for (std::size_t i = 0; i < notes_.size(); ++i) ++begin_[channel_key(score, i) + 1];
  std::partial_sum(begin_.begin(), begin_.end(), begin_.begin());
  std::array<std::size_t, kChannelKeys + 1> place = begin_;
  for (std::size_t i = 0; i < notes_.size(); ++i) {
    notes_[place[channel_key(score, i)]++] = static_cast<std::uint32_t>(i);
  }
}

}  // namespace arsis
