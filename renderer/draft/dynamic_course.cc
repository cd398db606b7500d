#include "draft/dynamic_course.h"

#include <algorithm>

namespace arsis {
namespace {

double step_within(const DynamicStretch& stretch, Beats at) {
  if (!stretch.is_hairpin() || at >= stretch.to) return stretch.end_step;
  const double way = (at - stretch.from) / (stretch.to - stretch.from);
  return stretch.begin_step + way * (stretch.end_step - stretch.begin_step);
}

// From the stretch's beginning to a moment at or after it.
double integral_within(const DynamicStretch& stretch, Beats at) {
  const Beats bent = std::min(at, stretch.to) - stretch.from;
  const double middle = (stretch.begin_step + step_within(stretch, std::min(at, stretch.to))) / 2.0;
  const Beats flat = std::max(Beats{}, at - stretch.to);
  return (bent * middle + flat * static_cast<double>(stretch.end_step)).value;
}

}  // namespace

DynamicCourse::DynamicCourse(DynamicLine line) : line_(std::move(line)) {
  double sum = 0.0;
  for (std::size_t i = 0; i < line_.size(); ++i) {
    if (i > 0) sum += integral_within(line_[i - 1], line_[i].from);
    integrals_.push_back(sum);
  }
}

// The last stretch that begins at the moment or before; line_.size() before the first.
std::size_t DynamicCourse::index_at(Beats at) const {
  const auto after = std::ranges::upper_bound(line_, at, {}, &DynamicStretch::from);
  if (after == line_.begin()) return line_.size();
  return static_cast<std::size_t>(after - line_.begin()) - 1;
}

double DynamicCourse::step_at(Beats at) const {
  const std::size_t i = index_at(at);
  return i == line_.size() ? 0.0 : step_within(line_[i], at);
}

double DynamicCourse::integral_to(Beats at) const {
  const std::size_t i = index_at(at);
  return i == line_.size() ? 0.0 : integrals_[i] + integral_within(line_[i], at);
}

double DynamicCourse::mean_step(Span span) const {
  if (span.length() <= Beats{}) return step_at(span.begin);
  return (integral_to(span.end) - integral_to(span.begin)) / span.length().value;
}

DynamicCourse::Hairpins DynamicCourse::hairpins(Span span, bool falling) const {
  Hairpins found;
  const std::size_t first = index_at(span.begin);
  Beats covered;
  for (std::size_t i = first == line_.size() ? 0 : first; i < line_.size(); ++i) {
    const DynamicStretch& stretch = line_[i];
    if (stretch.from >= span.end) break;
    if (!stretch.is_hairpin() || stretch.falls != falling || stretch.to <= span.begin) continue;
    covered += std::min(stretch.to, span.end) - std::max(stretch.from, span.begin);
    found.from_before = found.from_before || stretch.from < span.begin;
    found.to_after = found.to_after || stretch.to > span.end;
  }
  if (span.length() > Beats{}) found.share = covered / span.length();
  return found;
}

}  // namespace arsis
