#include "shape/ceiling.h"

#include <algorithm>

namespace arsis {

Ceiling::Ceiling(const DynamicLine& line, const Tuning& tuning)
    : before_(level_of_dynamic(0, tuning)) {
  stretches_.reserve(line.size());
  for (const DynamicStretch& stretch : line) {
    stretches_.push_back({stretch.from, stretch.to, level_of_dynamic(stretch.begin_step, tuning),
                          level_of_dynamic(stretch.end_step, tuning)});
  }
  if (!stretches_.empty() && stretches_.front().from < stretches_.front().to) {
    before_ = stretches_.front().begin;
  }
}

Decibels Ceiling::at(Beats moment) const {
  const auto after = std::ranges::upper_bound(stretches_, moment, {}, &Stretch::from);
  if (after == stretches_.begin()) return before_;
  const Stretch& stretch = *std::prev(after);
  if (moment >= stretch.to) return stretch.end;
  return stretch.begin +
         (stretch.end - stretch.begin) * ((moment - stretch.from) / (stretch.to - stretch.from));
}

Decibels ceiling_of(const Note& note, const DynamicLine& line, const Ceiling& ceiling) {
  return line.empty() ? level_of(note.velocity) : ceiling.at(note.onset);
}

}  // namespace arsis
