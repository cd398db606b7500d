// Notes of one key and channel, kept apart.
#include <algorithm>
#include <array>
#include <numeric>

#include "shape/articulation.h"

namespace arsis {
namespace {

// Two strikes of one key nearer than this are one: no hand or hammer repeats so fast. Our choice.
constexpr Seconds kTogether{0.005};
constexpr std::size_t kKeys = 16 * 128;

// The notes of each key and channel, one key after the other, each key's in order of onset.
struct KeyRows {
  std::array<std::size_t, kKeys + 1> begin{};
  std::vector<std::uint32_t> notes;
};

KeyRows rows_of(const std::vector<PerformedNote>& notes, const Score& score) {
  const auto key_of = [&](std::size_t i) {
    return score.parts[score.notes[i].part].channel * 128u + score.notes[i].key;
  };
  KeyRows rows;
  for (std::size_t i = 0; i < notes.size(); ++i) ++rows.begin[key_of(i) + 1];
  std::partial_sum(rows.begin.begin(), rows.begin.end(), rows.begin.begin());
  rows.notes.resize(notes.size());
  std::array<std::size_t, kKeys + 1> place = rows.begin;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    rows.notes[place[key_of(i)]++] = static_cast<std::uint32_t>(i);
  }
  const auto earlier = [&](std::uint32_t a, std::uint32_t b) {
    return notes[a].onset < notes[b].onset;
  };
  for (std::size_t key = 0; key < kKeys; ++key) {
    const auto first = rows.notes.begin() + static_cast<std::ptrdiff_t>(rows.begin[key]);
    const auto last = rows.notes.begin() + static_cast<std::ptrdiff_t>(rows.begin[key + 1]);
    // Only leads put notes out of the score's order, so that a row is in order as a rule.
    if (!std::is_sorted(first, last, earlier)) std::stable_sort(first, last, earlier);
  }
  return rows;
}

}  // namespace

void part_keys(std::vector<PerformedNote>& notes, const Score& score) {
  const KeyRows rows = rows_of(notes, score);
  for (std::size_t key = 0; key < kKeys; ++key) {
    PerformedNote* sounding = nullptr;
    for (std::size_t i = rows.begin[key]; i < rows.begin[key + 1]; ++i) {
      PerformedNote& note = notes[rows.notes[i]];
      if (sounding != nullptr && note.onset - sounding->onset < kTogether) {
        sounding->end = std::max(sounding->end, note.end);
        sounding->velocity = std::max(sounding->velocity, note.velocity);
        note.sounds = false;
        continue;
      }
      if (sounding != nullptr) sounding->end = std::min(sounding->end, note.onset);
      sounding = &note;
    }
  }
}

}  // namespace arsis
