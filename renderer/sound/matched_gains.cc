// Renderings of the same music brought to one loudness, downwards only, then all alike.
#include "sound/matched_gains.h"

#include <algorithm>

namespace arsis {

Result<std::vector<Decibels>> matched_gains(std::span<const Rendered> set,
                                            const LevelTarget& target) {
  std::vector<const LoudnessMeter*> meters;
  for (const Rendered& each : set) meters.push_back(&*each.meter);
  return matched_gains(meters, target);
}

Result<std::vector<Decibels>> matched_gains(std::span<const LoudnessMeter* const> meters,
                                            const LevelTarget& target) {
  std::vector<Decibels> gains(meters.size());
  std::vector<Lufs> loudness;
  for (const LoudnessMeter* meter : meters) {
    if (const auto measured = meter->loudness()) loudness.push_back(*measured);
  }
  const bool measured = loudness.size() == meters.size();
  Decibels wanted{0.0};
  if (measured && !meters.empty()) {
    const Lufs softest = *std::ranges::min_element(loudness);
    for (std::size_t i = 0; i < gains.size(); ++i) {
      gains[i].value = softest.value - loudness[i].value;
    }
    if (target.loudness) wanted.value = target.loudness->value - softest.value;
  }
  for (std::size_t i = 0; i < gains.size(); ++i) {
    const Decibels peak = meters[i]->true_peak() + gains[i];
    wanted = std::min(wanted, target.true_peak.value_or(kMostPeak) - peak);
  }
  for (Decibels& gain : gains) gain = gain + wanted;
  if (measured) return gains;
  return {gains,
          {warning({}, "one of them is not heard long enough to have a loudness",
                   "they are not matched in loudness")}};
}

}  // namespace arsis
