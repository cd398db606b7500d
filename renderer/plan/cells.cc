#include "plan/cells.h"

#include <algorithm>
#include <cmath>

namespace arsis {
namespace {

constexpr double kSameCoordinate = 1e-9;  // bars

}  // namespace

Cells::Cells(const Bars& bars, WrittenLength length, Beats from) : bars_(&bars), length_(length) {
  anchor(from);
}

void Cells::anchor(Beats at) {
  const Bar& bar = bars_->at(at);
  const auto index = static_cast<double>(&bar - bars_->all().data());
  anchor_ = at;
  next_ = at;
  passed_ = 0.0;
  const bool on_bar_line = same_moment(at, bar.downbeat);  // no pickup's start
  upbeat_ = on_bar_line ? Beats{0.0} : std::max(bar.span.end - at, Beats{0.0});
  first_ = index;
}

Beats Cells::bar_boundary(std::ptrdiff_t bar) const {
  const auto all = bars_->all();
  const auto count = static_cast<std::ptrdiff_t>(all.size());
  const Bar& known = all[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(bar, 0, count - 1))];
  const double missing = static_cast<double>(std::max<std::ptrdiff_t>(0, bar - (count - 1)));
  const Beats begin = known.span.begin + known.span.length() * missing;
  if (upbeat_ < kSameMoment) return begin;
  return std::max(begin, begin + known.span.length() - upbeat_);
}

Beats Cells::boundary(double coordinate) const {
  const double whole = std::floor(coordinate + kSameCoordinate);
  const double rest = std::max(0.0, coordinate - whole);
  const auto bar = static_cast<std::ptrdiff_t>(whole);
  const Beats begin = bar_boundary(bar);
  if (rest < kSameCoordinate) return begin;
  return begin + (bar_boundary(bar + 1) - begin) * rest;
}

Beats Cells::end_of(Beats begin) {
  if (!same_moment(begin, next_)) anchor(begin);
  if (length_.unit == WrittenLength::Unit::kBeat) {
    next_ = begin + bars_->at(begin).signature.beat_length() * length_.number;
    anchor_ = next_;
  } else {
    passed_ += 1.0;
    next_ = boundary(first_ + passed_ * length_.number);
    // A bar too short for the upbeat can leave a cell without length: it then takes the next one
    // in.
    while (next_ <= begin + kSameMoment) {
      passed_ += 1.0;
      next_ = boundary(first_ + passed_ * length_.number);
    }
  }
  return next_;
}

}  // namespace arsis
