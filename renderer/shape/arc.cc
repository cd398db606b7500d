#include "shape/arc.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>

namespace arsis {

double arc(Beats at, Span span, Beats goal) {
  assert(span.begin <= goal && goal <= span.end);
  if (at < span.begin || at > span.end) return 0.0;
  const Beats foot = at < goal ? span.begin : span.end;
  if (foot == goal) return at == goal ? 1.0 : 0.0;
  const double remaining = (goal - at) / (goal - foot);  // 1 at the foot, 0 at the goal
  return 1.0 - remaining * remaining;
}

double linger_window(Beats distance, Beats width) {
  assert(width.value > 0.0);
  const double x = std::clamp(distance / width, -1.0, 1.0);
  return 0.5 * (1.0 + std::cos(std::numbers::pi * x));
}

Beats linger_integral(Beats distance, Beats width) {
  assert(width.value > 0.0);
  const double x = std::clamp(distance / width, -1.0, 1.0);
  return width * (0.5 * (x + std::sin(std::numbers::pi * x) / std::numbers::pi));
}

}  // namespace arsis
