// Notes of one key and channel, kept apart.
#include <algorithm>

#include "score/key_rows.h"
#include "shape/articulation.h"

namespace arsis {
namespace {

// Two strikes of one key nearer than this are one: no hand or hammer repeats so fast. Our choice.
constexpr Seconds kTogether{0.005};

void part(std::span<const std::uint32_t> row, std::vector<PerformedNote>& notes,
          const Score& score) {
  PerformedNote* sounding = nullptr;
  Beats written;  // onset of the note that sounds
  for (const std::uint32_t i : row) {
    PerformedNote& note = notes[i];
    if (!note.sounds) continue;  // of a part that is left out
    // A lead does not make two strikes of what the score has two hands strike together.
    if (sounding != nullptr &&
        (note.onset - sounding->onset < kTogether || score.notes[i].onset == written)) {
      sounding->end = std::max(sounding->end, note.end);
      sounding->velocity = std::max(sounding->velocity, note.velocity);
      note.sounds = false;
      continue;
    }
    if (sounding != nullptr) sounding->end = std::min(sounding->end, note.onset);
    sounding = &note;
    written = score.notes[i].onset;
  }
}

}  // namespace

void part_keys(std::vector<PerformedNote>& notes, const Score& score) {
  KeyRows rows(score);
  const auto onset = [&](std::uint32_t note) { return notes[note].onset; };
  for (std::size_t key = 0; key < kChannelKeys; ++key) {
    const std::span<std::uint32_t> row = rows.row(key);
    // Only leads put notes out of the score's order, so that a row is in order as a rule.
    if (!std::ranges::is_sorted(row, {}, onset)) std::ranges::stable_sort(row, {}, onset);
    part(row, notes, score);
  }
}

}  // namespace arsis
