#include "sound/common_gain.h"

#include <algorithm>
#include <cassert>
#include <vector>

namespace arsis {
namespace {

constexpr double kLeastPeak = 1e-9;  // ratio: silence has a level too

Decibels highest_peak(std::span<const Rendered> set, bool true_peak) {
  Decibels highest = to_decibels(kLeastPeak);
  for (const Rendered& rendered : set) {
    const Decibels peak = true_peak ? rendered.meter->true_peak()
                                    : to_decibels(std::max(rendered.peak(), kLeastPeak));
    highest = std::max(highest, peak);
  }
  return highest;
}

std::optional<Lufs> loudness_of(std::span<const Rendered> set) {
  std::vector<const LoudnessMeter*> meters;
  for (const Rendered& rendered : set) meters.push_back(&*rendered.meter);
  return LoudnessMeter::together(meters);
}

}  // namespace

Result<CommonGain> common_gain(std::span<const Rendered> set, const LevelTarget& target) {
  CommonGain common;
  const Decibels room =
      target.true_peak.value_or(kMostPeak) - highest_peak(set, target.needs_meter());
  Decibels wanted{0.0};
  if (target.needs_meter()) common.loudness = loudness_of(set);
  if (target.loudness && !common.loudness) {
    return {
        common,
        {warning({}, "nothing is heard long enough to have a loudness", "nothing was changed")}};
  }
  if (target.loudness) wanted.value = target.loudness->value - common.loudness->value;
  common.is_limited = target.loudness && room < wanted;
  common.gain = std::min(wanted, room);
  if (common.loudness) common.loudness->value += common.gain.value;
  return common;
}

}  // namespace arsis
