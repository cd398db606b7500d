#include "musicxml/dynamics_again.h"

#include <algorithm>

namespace arsis {
namespace {

// Whether a mark at the measure's beginning takes the place of what `staff` had before.
bool begins_anew(const PartMeasure& measure, int staff) {
  return std::ranges::any_of(measure.signs, [&](const PageSign& sign) {
    return sign.kind == SignKind::kDynamic && sign.at == 0 &&
           (sign.staff == staff || sign.staff == 0);
  });
}

}  // namespace

DynamicsAgain::DynamicsAgain(std::span<const PlayedMeasure> order)
    : order_(order.begin(), order.end()) {
  for (std::size_t i = 1; i < order_.size(); ++i) {
    if (order_[i].measure > order_[i - 1].measure) continue;
    is_gone_back_to_.resize(std::max(is_gone_back_to_.size(), order_[i].measure + 1));
    is_gone_back_to_[order_[i].measure] = true;
  }
}

std::vector<DynamicsAgain::Sign> DynamicsAgain::enter(const PageMeasure& measure,
                                                      std::size_t order) {
  const std::size_t index = order_[order].measure;
  if (index >= is_gone_back_to_.size() || !is_gone_back_to_[index]) return {};
  const auto [found, is_first] = then_.try_emplace(index, now_);
  const bool goes_back = order > 0 && index <= order_[order - 1].measure;
  if (is_first || !goes_back) return {};
  std::vector<Sign> again;
  for (const auto& [part, staves] : found->second) {
    if (now_[part] == staves) continue;
    const auto shared = staves.find(0);
    for (const auto& [staff, last] : staves) {
      if (staff != 0 && shared != staves.end() && last.at < shared->second.at) continue;
      if (begins_anew(measure.parts[part], staff)) continue;
      for (const PageSign* sign : last.marks) again.push_back({part, sign});
    }
  }
  return again;
}

void DynamicsAgain::play(std::size_t page_part, const PageSign& sign, Ticks at) {
  if (sign.kind != SignKind::kDynamic && sign.kind != SignKind::kHairpin) return;
  Last& last = now_[page_part][sign.staff];
  if (at < last.at) return;
  if (at > last.at) last = {at, false, {}};
  last.is_hairpin |= sign.kind == SignKind::kHairpin;
  std::erase_if(last.marks, [&](const PageSign* mark) {
    return last.is_hairpin || mark->stands_at == sign.stands_at;
  });
  if (!last.is_hairpin) last.marks.push_back(&sign);
}

}  // namespace arsis
