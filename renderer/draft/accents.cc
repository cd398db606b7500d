#include "draft/accents.h"

#include <array>
#include <cmath>
#include <cstddef>

namespace arsis {
namespace {

// What a window of three notes gives its second and its third.
struct Turn {
  double second = 0.0;
  double third = 0.0;
};

// By the first motion, then the second: down, same, up.
constexpr std::array<std::array<Turn, 3>, 3> kTurns = {{
    {{{0.5, 0.5}, {1.0, 0.0}, {0.71, 0.29}}},
    {{{1e-5, 1.0}, {1e-5, 0.0}, {1e-5, 1.0}}},
    {{{0.83, 0.17}, {1.0, 0.0}, {0.33, 0.67}}},
}};

std::size_t motion(int from, int to) { return from > to ? 0 : from == to ? 1 : 2; }

Turn turn_of(int a, int b, int c) { return kTurns[motion(a, b)][motion(b, c)]; }

}  // namespace

double durational_accent(Seconds interval) {
  constexpr Seconds kSaturation{0.5};
  const double reached = 1.0 - std::exp(-(interval / kSaturation));
  return reached * reached;
}

std::vector<double> melodic_accents(std::span<const int> keys) {
  std::vector<double> accents(keys.size(), 0.0);
  if (keys.empty()) return accents;
  accents[0] = 1.0;
  for (std::size_t i = 0; i + 2 < keys.size(); ++i) {
    const Turn turn = turn_of(keys[i], keys[i + 1], keys[i + 2]);
    // The second note has had its value as the third of the window before, but for the line's
    // second note; values of 0 are passed over.
    double& second = accents[i + 1];
    if (turn.second > 0.0) second = second > 0.0 ? second * turn.second : turn.second;
    accents[i + 2] = turn.third;
  }
  return accents;
}

}  // namespace arsis
