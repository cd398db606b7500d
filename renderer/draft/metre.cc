#include "draft/metre.h"

#include <cmath>

namespace arsis {
namespace {

constexpr double kSmallestPart = 1e-6;  // of a felt beat; below one tick of any score that is read

bool is_whole(double number) { return std::abs(number - std::round(number)) < kSmallestPart; }

}  // namespace

double metrical_weight(const Bars& bars, Beats at) {
  const Bar& bar = bars.at(at);
  const Beats pulse = pulse_of(bar.signature);
  const double place = (at - bar.downbeat) / pulse;
  const bool compound = pulse > bar.signature.beat_length();
  if (!is_whole(place)) return is_whole(place * (compound ? 3.0 : 2.0)) ? 0.25 : 0.125;
  const auto beat = static_cast<int>(std::lround(place));
  if (beat == 0) return 1.0;
  const int beats = compound ? bar.signature.beats / 3 : bar.signature.beats;
  return beats > 2 && beat * 2 == beats ? kStrongBeat : kOnTheBeat;
}

}  // namespace arsis
