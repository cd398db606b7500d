#include "score/melody.h"

#include <algorithm>
#include <array>

namespace arsis {
namespace {

constexpr double kLegatoShare = 0.25;  // of a note's length that may overlap with the next

// The top note of each moment, without those under a higher sounding note. For each key it is
// enough to know until when it sounds.
std::vector<std::size_t> skyline(const Score& score, const std::vector<bool>& in_part) {
  std::vector<std::size_t> line;
  std::array<Beats, 128> sounds_until{};
  for (std::size_t i = 0; i < score.notes.size();) {
    const Beats onset = score.notes[i].onset;
    const std::size_t first = i;
    std::size_t top = score.notes.size();
    for (; i < score.notes.size() && score.notes[i].onset == onset; ++i) {
      if (!in_part[score.notes[i].part] || score.notes[i].grace) continue;
      if (top == score.notes.size() || score.notes[i].key > score.notes[top].key) top = i;
    }
    if (top == score.notes.size()) continue;
    const bool covered = std::any_of(sounds_until.begin() + score.notes[top].key + 1,
                                     sounds_until.end(), [&](Beats end) { return end > onset; });
    if (!covered) line.push_back(top);
    for (std::size_t k = first; k < i; ++k) {
      const Note& note = score.notes[k];
      if (in_part[note.part] && !note.grace)
        sounds_until[note.key] = note.end - note.length() * kLegatoShare;
    }
  }
  return line;
}

}  // namespace

std::vector<std::size_t> melody_line(const Score& score, const std::vector<bool>& in_part) {
  const std::vector<std::size_t> top = skyline(score, in_part);
  const auto key = [&](std::size_t i) { return static_cast<int>(score.notes[top[i]].key); };
  std::vector<std::size_t> line;
  line.reserve(top.size());
  for (std::size_t i = 0; i < top.size(); ++i) {
    const bool has_neighbours = !line.empty() && i + 1 < top.size();
    const bool shows_through = has_neighbours && score.notes[line.back()].key - key(i) > kOctave &&
                               key(i + 1) - key(i) > kOctave;
    if (!shows_through) line.push_back(top[i]);
  }
  return line;
}

}  // namespace arsis
