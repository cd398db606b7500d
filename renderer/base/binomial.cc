#include "base/binomial.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace arsis {

double at_least_by_chance(int hits, int trials) {
  assert(0 <= hits && hits <= trials && trials <= kMostTrials);
  double chance = std::ldexp(1.0, -trials);  // of exactly `trials` hits, then of one less each turn
  double sum = 0.0;
  for (int k = trials; k >= hits; --k) {
    sum += chance;
    chance *= static_cast<double>(k) / (trials - k + 1);  // C(n, k - 1) = C(n, k) k / (n - k + 1)
  }
  return std::min(sum, 1.0);
}

}  // namespace arsis
