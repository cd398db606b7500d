// Renderings of the same music brought to one loudness, downwards only.
#include "sound/matched_gains.h"

#include <algorithm>

#include "sound/common_gain.h"

namespace arsis {
namespace {}  // namespace

Result<std::vector<Decibels>> matched_gains(std::span<const Rendered> set) {
  std::vector<Decibels> gains(set.size());
  const bool measured = std::ranges::all_of(
      set, [](const Rendered& each) { return each.meter->loudness().has_value(); });
  if (measured && !set.empty()) {
    Lufs softest = *set.front().meter->loudness();
    for (const Rendered& each : set) softest = std::min(softest, *each.meter->loudness());
    for (std::size_t i = 0; i < set.size(); ++i) {
      gains[i].value = softest.value - set[i].meter->loudness()->value;
    }
  }
  Decibels room{0.0};
  for (std::size_t i = 0; i < set.size(); ++i) {
    room = std::min(room, kMostPeak - (set[i].meter->true_peak() + gains[i]));
  }
  for (Decibels& gain : gains) gain = gain + room;
  if (measured) return gains;
  return {gains,
          {warning({}, "one of them is not heard long enough to have a loudness",
                   "they are not matched in loudness")}};
}

}  // namespace arsis
