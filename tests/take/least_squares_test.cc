#include "take/least_squares.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace arsis {
namespace {

using Sign = LinearProblem::Sign;
constexpr double kAny = std::numeric_limits<double>::infinity();

// y = -24 (x - 0.6)^2 on 33 points is -24 x^2 + 28.8 x - 8.64: by arithmetic.
LinearProblem parabola() {
  LinearProblem problem;
  std::vector<double> one, x, square;
  for (int i = 0; i < 33; ++i) {
    const double at = i / 32.0;
    problem.observed.push_back(-24.0 * (at - 0.6) * (at - 0.6));
    one.push_back(1.0);
    x.push_back(at);
    square.push_back(at * at);
  }
  problem.add(std::move(square), Sign::kEither, kAny);
  problem.add(std::move(x), Sign::kEither, kAny);
  problem.add(std::move(one), Sign::kEither, kAny);
  return problem;
}

TEST(LeastSquares, FindTheParabolaThatWasPutIn) {
  const LinearFit fit = fit_robustly(parabola(), 0.01);
  EXPECT_NEAR(fit.unknowns[0], -24.0, 1e-3);
  EXPECT_NEAR(fit.unknowns[1], 28.8, 1e-3);
  EXPECT_NEAR(fit.unknowns[2], -8.64, 1e-3);
}

TEST(LeastSquares, AreHardlyMovedByAFewWildNotes) {
  LinearProblem problem = parabola();
  problem.observed[3] += 50.0;
  problem.observed[20] -= 50.0;
  const LinearFit fit = fit_robustly(problem, 0.01);
  EXPECT_NEAR(fit.unknowns[0], -24.0, 0.2);
  EXPECT_NEAR(fit.unknowns[2], -8.64, 0.2);
}

TEST(LeastSquares, KeepUnknownsOfOneSignFromTheOther) {
  LinearProblem problem = parabola();
  problem.signs[0] = Sign::kNotNegative;
  const LinearFit fit = fit_robustly(problem, 0.01);
  EXPECT_EQ(fit.unknowns[0], 0.0);  // it would be -24
  problem.signs = {Sign::kEither, Sign::kNotNegative, Sign::kEither};
  EXPECT_NEAR(fit_robustly(problem, 0.01).unknowns[1], 28.8, 1e-3);
}

// The mean of n observations with errors of 1 has an error of 1 / sqrt(n).
TEST(LeastSquares, KnowTheirError) {
  LinearProblem problem;
  for (int i = 0; i < 100; ++i) problem.observed.push_back(i % 2 == 0 ? 1.0 : -1.0);
  problem.add(std::vector<double>(100, 1.0), Sign::kEither, kAny);
  const LinearFit fit = fit_robustly(problem, 0.01);
  EXPECT_NEAR(fit.unknowns[0], 0.0, 1e-6);
  EXPECT_NEAR(error_of(problem, fit, {1.0}), fit.spread / 10.0, 1e-3);
}

// Of one observation of 1 with an error of 1, an unknown that is usually of the size 1 is as
// likely 0.5 as anything: the mean of what is usual and what was seen.
TEST(LeastSquares, BelieveLittleOfWhatLittleIsKnown) {
  LinearProblem problem;
  problem.observed = {1.0};
  problem.add({1.0}, Sign::kEither, 1.0);
  EXPECT_NEAR(fit_robustly(problem, 1.0).unknowns[0], 0.5, 1e-6);
}

TEST(LeastSquares, GiveColumnsThatSayTheSameTheirShare) {
  LinearProblem problem = parabola();
  problem.add(problem.columns[1], Sign::kEither, 10.0);
  problem.add(std::vector<double>(33, 0.0), Sign::kEither, kAny);  // and one that says nothing
  const LinearFit fit = fit_robustly(problem, 0.01);
  EXPECT_NEAR(fit.unknowns[1] + fit.unknowns[3], 28.8, 0.01);
  EXPECT_EQ(fit.unknowns[4], 0.0);
  for (const double residual : fit.residuals) EXPECT_NEAR(residual, 0.0, 0.01);
}

TEST(MedianOf, IsTheMiddle) {
  EXPECT_EQ(median_of({}), 0.0);
  EXPECT_EQ(median_of({3.0}), 3.0);
  EXPECT_EQ(median_of({9.0, 1.0}), 5.0);
  EXPECT_EQ(median_of({5.0, 1.0, 900.0}), 5.0);
}

}  // namespace
}  // namespace arsis
