#include "smf/written_time.h"

#include <algorithm>
#include <cmath>

namespace arsis {
namespace {

constexpr double kSlowest = 16'777'215.0;  // microseconds a quarter note: three bytes

// A tempo is rounded by up to half a microsecond a quarter note. Ticks until that comes to a
// quarter of a tick: so far one tempo may run before the next has to make up for it.
std::int64_t longest_piece(const TimeMap& time, std::int64_t tick, int division) {
  const Beats here{static_cast<double>(tick) / division};
  const Seconds quarter = time.seconds_at(here + Beats{1.0}) - time.seconds_at(here);
  return std::max<std::int64_t>(division,
                                std::llround(std::min(quarter.value * 1e6, kSlowest) / 2.0));
}

}  // namespace

WrittenTime WrittenTime::constant(std::int64_t microseconds_per_quarter, int division) {
  WrittenTime written(division);
  written.tempos_.push_back({0, {0.0}, microseconds_per_quarter});
  return written;
}

WrittenTime WrittenTime::following(const TimeMap& time, int division) {
  WrittenTime written(division);
  std::int64_t tick = 0;
  Seconds second{0.0};  // of `tick`, in the file's own arithmetic
  for (const TimeMap::Knot& knot : time.knots().subspan(1)) {
    // A knot between ticks counts from the nearest one. Of two on one tick the later counts.
    const auto next = static_cast<std::int64_t>(std::llround(knot.beat.value * division));
    while (tick < next) {
      const std::int64_t piece = std::min(next - tick, longest_piece(time, tick, division));
      const double quarters = static_cast<double>(piece) / division;
      const Seconds due = time.seconds_at({static_cast<double>(tick + piece) / division});
      const double tempo =
          std::clamp(std::round((due - second).value * 1e6 / quarters), 1.0, kSlowest);
      const auto microseconds = static_cast<std::int64_t>(tempo);
      if (written.tempos_.empty() ||
          written.tempos_.back().microseconds_per_quarter != microseconds) {
        written.tempos_.push_back({tick, second, microseconds});
      }
      second += Seconds{quarters * tempo / 1e6};
      tick += piece;
    }
  }
  if (written.tempos_.empty()) written.tempos_.push_back({});
  return written;
}

std::int64_t WrittenTime::tick_at(Seconds at) {
  if (at < tempos_[hint_].second) {
    const auto after = std::ranges::upper_bound(tempos_, at, {}, &Tempo::second);
    hint_ = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, after - tempos_.begin() - 1));
  }
  while (hint_ + 1 < tempos_.size() && tempos_[hint_ + 1].second <= at) ++hint_;
  const Tempo& tempo = tempos_[hint_];
  const double quarters =
      (at - tempo.second).value * 1e6 / static_cast<double>(tempo.microseconds_per_quarter);
  return std::max<std::int64_t>(0, tempo.tick + std::llround(quarters * division_));
}

}  // namespace arsis
