// Linear fits of a handful of unknowns to what was played, in which single wrong notes count little
// and what a few notes hardly say is not believed: the arithmetic under every judgement of arcs.
// Pure.
#pragma once

#include <cstddef>
#include <limits>
#include <vector>

namespace arsis {

// observed[i] = sum over the unknowns of unknown * columns[unknown][i], plus an error. All numbers
// are in the caller's own units.
struct LinearProblem {
  static constexpr double kAnySize = std::numeric_limits<double>::infinity();
  enum class Sign : bool { kEither, kNotNegative };

  std::vector<double> observed;
  std::vector<std::vector<double>> columns;  // one for each unknown, as long as `observed`
  std::vector<Sign> signs;
  std::vector<double> usual;  // how large each unknown usually is, above 0; or kAnySize

  // Adds an unknown; result: its index.
  std::size_t add(std::vector<double> column, Sign sign, double usual_size);
};

struct LinearFit {
  std::vector<double> unknowns;
  std::vector<double> residuals;  // observed less fitted
  double spread = 0.0;            // standard deviation of an error, by the residuals' median
  std::vector<double> weights;    // 0..1, of each observation: how far it was believed
};

// The likeliest unknowns, each being normally distributed about 0 with its usual size before
// anything is observed: so what the observations hardly tell stays near 0. By Huber's weights, so
// that a note far off the others pulls no more than one a little off. `least_spread`, above 0:
// errors below it are none (the rounding of velocities, of ticks).
// Sources: Huber 1964 (weights, with his constant 1.345), Lawson & Hanson 1974 (unknowns of one
// sign), Hoerl & Kennard 1970 (ridge); all from memory.
LinearFit fit_robustly(const LinearProblem& problem, double least_spread);

// The standard error of `difference`, a sum of unknowns with these factors (one for each), were the
// errors of that spread.
double error_of(const LinearProblem& problem, const LinearFit& fit,
                const std::vector<double>& difference);

// Standard deviation over median deviation, of the normal distribution.
inline constexpr double kNormalSpread = 1.4826;

// The middle of the values (the mean of the two middle ones); 0 of none.
double median_of(std::vector<double> values);

}  // namespace arsis
