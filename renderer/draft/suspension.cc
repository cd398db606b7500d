#include "draft/suspension.h"

#include <algorithm>
#include <cstdlib>

#include "draft/consonance.h"

namespace arsis {

std::optional<int> clash(int key, std::span<const std::uint8_t> others) {
  if (others.empty()) return std::nullopt;
  for (const int dissonant : {1, 6, 2}) {
    const auto found = std::ranges::find_if(
        others, [&](int other) { return interval_class(key, other) == dissonant; });
    if (found != others.end()) return *found;
  }
  const int bass = *std::ranges::min_element(others);
  constexpr int kFourth = 5;
  if (key > bass && (key - bass) % 12 == kFourth) return bass;
  return std::nullopt;
}

std::optional<Dissonance> dissonance_of(const MelodicStep& step) {
  const int moved = std::abs(step.successor - step.note);
  if (step.weight < step.successor_weight || moved < 1 || moved > 2) return std::nullopt;
  const std::optional<int> over = clash(step.note, step.held);
  if (!over || clash(step.successor, step.held)) return std::nullopt;
  const bool prepared = step.predecessor == step.note;
  return Dissonance{prepared ? DissonanceKind::kSuspension : DissonanceKind::kAppoggiatura, *over};
}

}  // namespace arsis
