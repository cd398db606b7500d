#include "shape/closing.h"

#include <cassert>
#include <cmath>

namespace arsis {
namespace {

constexpr double kNearlyOne = 1e-9;

}  // namespace

double closing_tempo(const Closing& closing, double x) {
  assert(closing.last_tempo > 0.0 && closing.last_tempo <= 1.0 && closing.curve >= 1.0);
  const double fall = std::pow(closing.last_tempo, closing.curve) - 1.0;
  return std::pow(1.0 + fall * x, 1.0 / closing.curve);
}

double closing_time(const Closing& closing, double x) {
  const double q = closing.curve;
  const double fall = std::pow(closing.last_tempo, q) - 1.0;
  if (std::abs(fall) < kNearlyOne) return x;
  const double u = 1.0 + fall * x;
  if (std::abs(q - 1.0) < kNearlyOne) return std::log(u) / fall;
  return q / (q - 1.0) * (std::pow(u, (q - 1.0) / q) - 1.0) / fall;
}

}  // namespace arsis
