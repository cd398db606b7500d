#include "take/cue_fit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace arsis {
namespace {

// A line of 20 observations 0, 1, 2 .. times `slope`, over an unknown level.
CueEvidence line(double slope) {
  CueEvidence evidence;
  evidence.beside.emplace_back(20, 1.0);
  std::vector<double>& column = evidence.columns.emplace_back();
  for (int i = 0; i < 20; ++i) {
    column.push_back(i);
    evidence.observed.push_back(7.0 + slope * i);
    evidence.errors.push_back(1.0);
  }
  return evidence;
}

// The slope of a least squares line is the pull over the matrix; its error is the spread over the
// root of the sum of squares about the mean, which of 0 .. 19 is 665.
TEST(NormalOf, LeavesOutWhatMayDifferBeside) {
  const CueEvidence evidence = line(0.5);
  const Normal normal = normal_of(evidence, std::vector<double>(20, 1.0), {2.0, 0.0});
  EXPECT_NEAR(normal.pull[0] / normal.matrix[0], 0.5, 1e-9);
  EXPECT_NEAR(normal.matrix[0], 665.0 / 4.0, 1e-6);
  EXPECT_NEAR(left_of(normal, {0.5})[0], 0.0, 1e-6);
}

TEST(NormalOf, GivesAColumnThatOnlySaysWhatMayDifferNothing) {
  CueEvidence evidence = line(0.5);
  evidence.columns.emplace_back(20, 3.0);
  const Normal normal = normal_of(evidence, std::vector<double>(20, 1.0), {1.0, 0.0});
  EXPECT_NEAR(normal.matrix[3], 0.0, 1e-9);
  EXPECT_NEAR(normal.pull[1], 0.0, 1e-9);
}

TEST(NormalOf, KnowsLittleByObservationsThatErrMuch) {
  CueEvidence evidence = line(0.5);
  for (double& error : evidence.errors) error = 3.0;
  const Normal normal = normal_of(evidence, std::vector<double>(20, 1.0), {1.0, 0.0});
  EXPECT_NEAR(normal.matrix[0], 665.0 / 9.0, 1e-6);
  EXPECT_NEAR(normal.pull[0] / normal.matrix[0], 0.5, 1e-9);
}

TEST(ResidualsOf, AreWhatIsLeft) {
  CueEvidence evidence = line(0.5);
  std::vector<double> fitted;
  for (const double at : evidence.columns[0]) fitted.push_back(0.5 * at);
  const Residuals residuals = residuals_of(evidence, fitted);
  for (const double one : residuals.left) EXPECT_NEAR(one, 0.0, 1e-9);
  EXPECT_EQ(residuals.free, 19.0);
}

// By turns one above and one below, but for one that is far off.
std::vector<Residuals> with_one_far_off(double far) {
  Residuals residuals;
  for (int i = 0; i < 40; ++i) residuals.left.push_back(i % 2 == 0 ? 1.0 : -1.0);
  residuals.left[8] = far;
  residuals.free = 40.0;
  return {residuals};
}

TEST(FitNoise, IsNotMovedByOneThatIsFarOff) {
  const NoiseFit fit = fit_noise(with_one_far_off(100.0), 0.1);
  EXPECT_NEAR(fit.noise.spread, 1.4826, 1e-9);  // of a median of 1
  EXPECT_LT(fit.weights[0][8], 0.01);
  EXPECT_GT(fit.weights[0][9], 0.9);
  EXPECT_GT(fit_noise(with_one_far_off(1.0), 0.1).likelihood, fit.likelihood);
  EXPECT_EQ(fit_noise(with_one_far_off(1.0), 5.0).noise.spread, 5.0);
}

TEST(FitNoise, FindsErrorsThatCarryOn) {
  EXPECT_EQ(fit_noise(with_one_far_off(1.0), 0.1).noise.carry, 0.0);
  Residuals slow;
  for (int i = 0; i < 200; ++i) slow.left.push_back(std::sin(i * 0.05));
  slow.free = 200.0;
  const Noise noise = fit_noise({slow}, 0.001).noise;
  EXPECT_GT(noise.carry, 0.95);
  EXPECT_LT(noise.spread, 0.4);
  EXPECT_EQ(fit_noise({}, 0.5).noise.spread, 0.5);
}

using Row = std::array<double, kJudgedLevels>;

// What is well known is as it was seen, what is not known at all is 1; nothing is below 0.
TEST(SolveAmounts, BelieveWhatIsKnown) {
  std::array<Amount, kJudgedLevels> amounts{};
  solve_amounts({2000.0, 0.0, -500.0}, {Row{1000.0, 0, 0}, Row{0, 0, 0}, Row{0, 0, 1000.0}},
                amounts);
  EXPECT_NEAR(amounts[0].value, 2.0, 0.01);
  EXPECT_NEAR(amounts[0].error, 1.0 / std::sqrt(1000.0), 1e-9);
  EXPECT_EQ(amounts[1].value, 1.0);
  EXPECT_EQ(amounts[1].error, std::numeric_limits<double>::infinity());
  EXPECT_EQ(amounts[2].value, 0.0);
}

// Of two levels that look nearly alike, both are found where the normal equations tell them apart.
TEST(SolveAmounts, TellLevelsApart) {
  std::array<Amount, kJudgedLevels> amounts{};
  const double a = 2.0;
  const double b = 0.5;
  solve_amounts({1e5 * a + 0.8e5 * b, 0.8e5 * a + 1e5 * b, 0.0},
                {Row{1e5, 0.8e5, 0}, Row{0.8e5, 1e5, 0}, Row{0, 0, 0}}, amounts);
  EXPECT_NEAR(amounts[0].value, a, 0.01);
  EXPECT_NEAR(amounts[1].value, b, 0.01);
}

// Nobody hears a tenth more of an arc.
TEST(SolveAmounts, AreTheModelsWhereNobodyCouldTell) {
  std::array<Amount, kJudgedLevels> amounts{};
  solve_amounts({1.1e5, 1.3e5, 1.0}, {Row{1e5, 0, 0}, Row{0, 1e5, 0}, Row{0, 0, 4.0}}, amounts);
  EXPECT_EQ(amounts[0].value, 1.0);
  EXPECT_NEAR(amounts[1].value, 1.3, 0.001);
  EXPECT_EQ(amounts[2].value, 1.0);
}

}  // namespace
}  // namespace arsis
