#include "shape/lead.h"

#include <algorithm>
#include <cmath>

namespace arsis {

Seconds hammer_travel(Velocity velocity) {
  const double hammer_speed = std::exp2((velocity.value() - 52) / 25.0);  // m/s
  return {89.16e-3 * std::pow(hammer_speed, -0.570)};
}

Seconds melody_lead(Velocity melody, Velocity accompaniment) {
  return std::max(Seconds{0.0}, hammer_travel(accompaniment) - hammer_travel(melody));
}

}  // namespace arsis
