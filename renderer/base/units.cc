#include "base/units.h"

#include <algorithm>
#include <cmath>

namespace arsis {

Velocity Velocity::clamped(double value) {
  return Velocity(static_cast<std::uint8_t>(std::lround(std::clamp(value, 1.0, 127.0))));
}

Decibels to_decibels(double ratio) { return {20.0 * std::log10(ratio)}; }

double to_ratio(Decibels level) { return std::pow(10.0, level.value / 20.0); }

Decibels level_of(Velocity velocity) { return {40.0 * std::log10(velocity.value() / 127.0)}; }

Velocity velocity_at(Decibels level) {
  return Velocity::clamped(127.0 * std::pow(10.0, level.value / 40.0));
}

}  // namespace arsis
