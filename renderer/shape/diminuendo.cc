#include "shape/diminuendo.h"

#include <algorithm>
#include <optional>

#include "shape/energy.h"
#include "shape/level.h"

namespace arsis {
namespace {

constexpr Beats kAtOnce{1e-9};  // far below a tick

// Whether a diminuendo takes up where another ends, so that both are one.
bool goes_on(const DynamicStretch* before, const DynamicStretch& stretch) {
  return before != nullptr && before->to == stretch.from && stretch.begin_step <= before->end_step;
}

// Whether a louder mark stands where the diminuendo ends, and takes the note there for itself.
bool is_cut_off(const DynamicLine& line, std::size_t index) {
  return index + 1 < line.size() && line[index + 1].from == line[index].to &&
         line[index + 1].begin_step > line[index].end_step;
}

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
  const DynamicStretch* before = nullptr;
  std::optional<Decibels> lowest;
  const auto rise_at = [&](Beats moment) {
    const HoldingBlocks blocks = finder.at(moment);
    if (tuning_at(plan, blocks).diminuendo == Diminuendo::kSwell) return Decibels{0.0};
    const Decibels level =
        arc_level(ceiling.at(moment), arc_loss(plan, blocks, moment, layers), floor);
    lowest = lowest ? std::min(*lowest, level) : level;
    return level - *lowest;
  };
  for (std::size_t i = 0; i < line.size(); ++i) {
    const DynamicStretch& stretch = line[i];
    // One that ends louder than it begins contradicts itself: what rises there are not the arcs.
    if (!stretch.falls || stretch.end_step > stretch.begin_step) continue;
    if (!goes_on(before, stretch)) lowest.reset();
    before = &stretch;
    // Where two diminuendos meet, the first's way back to 0 is not taken.
    while (!samples.empty() && samples.back().at > stretch.from) samples.pop_back();
    const bool cut_off = is_cut_off(line, i);
    auto moment = std::ranges::lower_bound(moments, stretch.from);
    for (; moment != moments.end() && *moment <= stretch.to; ++moment) {
      if (cut_off && *moment == stretch.to) break;
      samples.push_back({*moment, rise_at(*moment)});
    }
    // Nothing is withheld past the hairpin's end, not even on a slope back to 0.
    if (samples.empty()) continue;
    if (cut_off) samples.push_back({stretch.to, samples.back().rise});
    samples.push_back({cut_off ? stretch.to : samples.back().at + kAtOnce, {0.0}});
  }
  return Withheld(std::move(samples));
}

}  // namespace arsis
