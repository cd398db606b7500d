#include "take/moments.h"

#include <algorithm>
#include <cassert>
#include <tuple>

namespace arsis {

Moments moments_of(const Score& score, const std::vector<bool>& asked) {
  assert(asked.empty() || asked.size() == score.notes.size());
  Moments moments;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    if (!asked.empty() && !asked[i]) continue;
    moments.notes.push_back(static_cast<std::uint32_t>(i));
  }
  std::ranges::stable_sort(moments.notes, [&](std::uint32_t a, std::uint32_t b) {
    return std::tuple(score.notes[a].onset, score.notes[a].key) <
           std::tuple(score.notes[b].onset, score.notes[b].key);
  });
  for (std::size_t i = 0; i < moments.notes.size(); ++i) {
    const Note& note = score.notes[moments.notes[i]];
    if (moments.all.empty() || moments.all.back().beat != note.onset) {
      moments.all.push_back(
          {note.onset, score.tempo.seconds_at(note.onset), static_cast<std::uint32_t>(i), 0, {}});
    }
    Moment& moment = moments.all.back();
    if (!moment.keys.has(note.key)) {
      moments.with_key[note.key].push_back(static_cast<std::uint32_t>(moments.all.size() - 1));
    }
    moment.keys.add(note.key);
    ++moment.count;
  }
  return moments;
}

}  // namespace arsis
