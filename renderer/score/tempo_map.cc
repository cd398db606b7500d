#include "score/tempo_map.h"

#include <algorithm>
#include <cassert>

namespace arsis {
namespace {

constexpr std::int64_t kStandardTempo = 500'000;  // 120 quarter notes a minute

Seconds length_of(Beats beats, std::int64_t microseconds_per_quarter) {
  return {beats.value * static_cast<double>(microseconds_per_quarter) / 1e6};
}

}  // namespace

TempoMap::TempoMap(std::span<const TempoChange> changes) {
  changes_.push_back({.at = {0.0}, .microseconds_per_quarter = kStandardTempo});
  seconds_.push_back({0.0});
  for (const TempoChange& change : changes) {
    assert(changes_.back().at <= change.at && change.microseconds_per_quarter > 0);
    if (change.at == changes_.back().at) {
      changes_.back() = change;
    } else if (change.microseconds_per_quarter != changes_.back().microseconds_per_quarter) {
      const TempoChange& last = changes_.back();
      seconds_.push_back(seconds_.back() +
                         length_of(change.at - last.at, last.microseconds_per_quarter));
      changes_.push_back(change);
    }
  }
}

Seconds TempoMap::seconds_at(Beats at) const {
  const auto after = std::ranges::upper_bound(changes_, at, {}, &TempoChange::at);
  const auto index =
      static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, after - changes_.begin() - 1));
  const TempoChange& change = changes_[index];
  return seconds_[index] + length_of(at - change.at, change.microseconds_per_quarter);
}

Beats TempoMap::beats_at(Seconds at) const {
  const auto after = std::ranges::upper_bound(seconds_, at);
  const auto index =
      static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, after - seconds_.begin() - 1));
  const TempoChange& change = changes_[index];
  return change.at + Beats{(at - seconds_[index]).value * 1e6 /
                           static_cast<double>(change.microseconds_per_quarter)};
}

std::int64_t TempoMap::microseconds_per_quarter_at(Beats at) const {
  const auto after = std::ranges::upper_bound(changes_, at, {}, &TempoChange::at);
  return after == changes_.begin() ? changes_.front().microseconds_per_quarter
                                   : std::prev(after)->microseconds_per_quarter;
}

}  // namespace arsis
