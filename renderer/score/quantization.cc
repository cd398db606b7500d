#include "score/quantization.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace arsis {
namespace {

bool lies_on(double ticks, int division, int parts) {
  const double grid = std::round(ticks * parts / division);
  return std::abs(ticks - grid * division / parts) <= 0.5;
}

}  // namespace

double off_grid_share(const Score& score) {
  constexpr std::array<int, 4> kParts = {16, 12, 10, 7};
  if (score.notes.empty()) return 0.0;
  const auto off_grid = [&](const Note& note) {
    const double ticks = std::round(note.onset.value * score.division);
    return std::ranges::none_of(kParts,
                                [&](int parts) { return lies_on(ticks, score.division, parts); });
  };
  return static_cast<double>(std::ranges::count_if(score.notes, off_grid)) /
         static_cast<double>(score.notes.size());
}

}  // namespace arsis
