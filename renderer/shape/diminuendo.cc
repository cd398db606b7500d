#include "shape/diminuendo.h"

#include <algorithm>
#include <optional>

#include "shape/energy.h"
#include "shape/level.h"

namespace arsis {
namespace {

constexpr Beats kAtOnce{1e-9};  // far below a tick

}  // namespace

Decibels Withheld::at(Beats moment) const {
  const auto after = std::ranges::upper_bound(samples_, moment, {}, &Sample::at);
  if (after == samples_.begin()) return {0.0};
  const Sample& left = *std::prev(after);
  if (left.at == moment || after == samples_.end()) {
    return left.at == moment ? left.rise : Decibels{0.0};
  }
  return left.rise + (after->rise - left.rise) * ((moment - left.at) / (after->at - left.at));
}

Withheld withhold(const BoundPlan& plan, const DynamicLine& line, const Ceiling& ceiling,
                  std::span<const Beats> moments, const Layers& layers) {
  std::vector<Withheld::Sample> samples;
  BlockFinder finder(plan);
  const Decibels floor = plan.tuning().decibels(Constant::kFloor);
  for (const DynamicStretch& stretch : line) {
    if (!stretch.falls || !stretch.is_hairpin()) continue;
    std::optional<Decibels> lowest;
    auto moment = std::ranges::lower_bound(moments, stretch.from);
    for (; moment != moments.end() && *moment <= stretch.to; ++moment) {
      const HoldingBlocks blocks = finder.at(*moment);
      Decibels rise{0.0};
      if (tuning_at(plan, blocks).diminuendo == Diminuendo::kBroaden) {
        const Decibels level =
            arc_level(ceiling.at(*moment), arc_loss(plan, blocks, *moment, layers), floor);
        lowest = lowest ? std::min(*lowest, level) : level;
        rise = level - *lowest;
      }
      // Two diminuendos that meet share a moment: the second begins there anew.
      while (!samples.empty() && samples.back().at >= *moment) samples.pop_back();
      samples.push_back({*moment, rise});
    }
    // Nothing is withheld past the hairpin's end, not even on a slope back to 0.
    if (!samples.empty()) samples.push_back({samples.back().at + kAtOnce, {0.0}});
  }
  return Withheld(std::move(samples));
}

}  // namespace arsis
