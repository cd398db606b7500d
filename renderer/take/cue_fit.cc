#include "take/cue_fit.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "take/median.h"

namespace arsis {
namespace {

using Rows = std::vector<std::vector<double>>;

// Student's degrees of freedom: so few that a wrong note has no say, so many that an even noise is
// averaged nearly as well as by means. By trial with tests/take.
constexpr double kFreedom = 5.0;
constexpr double kMostCarry = 0.98;

void subtract(std::vector<double>& from, const std::vector<double>& what, double times) {
  for (std::size_t i = 0; i < from.size(); ++i) from[i] -= times * what[i];
}

// Each less what it keeps of the one before, so that what is left errs independently.
std::vector<double> fresh(const std::vector<double>& values, double carry) {
  std::vector<double> result = values;
  const double scale = std::sqrt(1.0 - carry * carry);
  for (std::size_t i = 1; i < values.size(); ++i) {
    result[i] = (values[i] - carry * values[i - 1]) / scale;
  }
  return result;
}

std::vector<double> weighted(std::vector<double> values, const CueEvidence& evidence,
                             const std::vector<double>& weights, const Noise& noise) {
  for (std::size_t i = 0; i < values.size(); ++i) values[i] /= evidence.errors[i];
  std::vector<double> result = fresh(values, noise.carry);
  for (std::size_t i = 0; i < result.size(); ++i) {
    result[i] *= std::sqrt(weights[i]) / noise.spread;
  }
  return result;
}

void clear_of(std::vector<double>& values, const Rows& basis) {
  for (const std::vector<double>& one : basis) subtract(values, one, product(values, one));
}

// Unit vectors, at right angles to one another, of what may differ beside.
Rows basis_of(const CueEvidence& evidence, const std::vector<double>& weights, const Noise& noise) {
  constexpr double kNothingNew = 1e-6;
  Rows basis;
  for (const std::vector<double>& column : evidence.beside) {
    std::vector<double> one = weighted(column, evidence, weights, noise);
    const double before = std::sqrt(product(one, one));
    clear_of(one, basis);
    clear_of(one, basis);  // once more: what the first time left by rounding
    const double length = std::sqrt(product(one, one));
    if (!(length > kNothingNew * before)) continue;
    for (double& value : one) value /= length;
    basis.push_back(std::move(one));
  }
  return basis;
}

// How much of each residual the next one keeps.
double carry_of(const std::vector<Residuals>& residuals) {
  double squares = 0.0;
  double neighbours = 0.0;
  for (const Residuals& sentence : residuals) {
    for (std::size_t i = 0; i < sentence.left.size(); ++i) {
      squares += sentence.left[i] * sentence.left[i];
      if (i > 0) neighbours += sentence.left[i] * sentence.left[i - 1];
    }
  }
  return squares > 0.0 ? std::clamp(neighbours / squares, 0.0, kMostCarry) : 0.0;
}

}  // namespace

double product(const std::vector<double>& a, const std::vector<double>& b) {
  double sum = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

Normal normal_of(const CueEvidence& evidence, const std::vector<double>& weights,
                 const Noise& noise) {
  const Rows basis = basis_of(evidence, weights, noise);
  std::vector<double> observed = weighted(evidence.observed, evidence, weights, noise);
  clear_of(observed, basis);
  const std::size_t size = evidence.columns.size();
  Normal normal{std::vector<double>(size), std::vector<double>(size * size)};
  Rows columns;
  for (std::size_t a = 0; a < size; ++a) {
    columns.push_back(weighted(evidence.columns[a], evidence, weights, noise));
    clear_of(columns[a], basis);
    normal.pull[a] = product(columns[a], observed);
    for (std::size_t b = 0; b <= a; ++b) {
      normal.matrix[a * size + b] = normal.matrix[b * size + a] = product(columns[a], columns[b]);
    }
  }
  return normal;
}

std::vector<double> left_of(const Normal& normal, const std::vector<double>& added) {
  std::vector<double> left = normal.pull;
  const std::size_t size = left.size();
  for (std::size_t b = 0; b < size; ++b) {
    if (added[b] == 0.0) continue;
    for (std::size_t a = 0; a < size; ++a) left[a] -= normal.matrix[a * size + b] * added[b];
  }
  return left;
}

Residuals residuals_of(const CueEvidence& evidence, const std::vector<double>& fitted) {
  const std::vector<double> even(evidence.observed.size(), 1.0);
  const Rows basis = basis_of(evidence, even, {});
  Residuals residuals{evidence.observed, 0.0};
  subtract(residuals.left, fitted, 1.0);
  residuals.left = weighted(std::move(residuals.left), evidence, even, {});
  clear_of(residuals.left, basis);
  residuals.free = static_cast<double>(even.size()) - static_cast<double>(basis.size());
  return residuals;
}

NoiseFit fit_noise(const std::vector<Residuals>& residuals, double least) {
  NoiseFit fit;
  fit.noise.carry = carry_of(residuals);
  std::vector<double> sizes;
  double free = 0.0;
  for (const Residuals& sentence : residuals) {
    fit.weights.push_back(fresh(sentence.left, fit.noise.carry));
    for (const double one : fit.weights.back()) sizes.push_back(std::abs(one));
    free += sentence.free;
  }
  const auto count = static_cast<double>(sizes.size());
  fit.noise.spread = std::max(
      least, kNormalSpread * median_of(std::move(sizes)) * std::sqrt(count / std::max(1.0, free)));
  for (std::vector<double>& weights : fit.weights) {
    for (double& weight : weights) {
      const double square = weight * weight / (fit.noise.spread * fit.noise.spread);
      fit.likelihood -=
          (kFreedom + 1.0) / 2.0 * std::log(1.0 + square / kFreedom) + std::log(fit.noise.spread);
      weight = (kFreedom + 1.0) / (kFreedom + square);
    }
  }
  return fit;
}

void solve_amounts(const std::array<double, kJudgedLevels>& pull,
                   const std::array<std::array<double, kJudgedLevels>, kJudgedLevels>& matrix,
                   std::array<Amount, kJudgedLevels>& amounts) {
  constexpr double kUsual = 1.0 / (0.5 * 0.5);
  constexpr double kMostAmount = 5.0;
  constexpr int kSteps = 100;
  for (int step = 0; step < kSteps; ++step) {
    for (std::size_t a = 0; a < kJudgedLevels; ++a) {
      double sum = pull[a] + kUsual;
      for (std::size_t b = 0; b < kJudgedLevels; ++b) {
        if (b != a) sum -= matrix[a][b] * amounts[b].value;
      }
      amounts[a].value = std::clamp(sum / (matrix[a][a] + kUsual), 0.0, kMostAmount);
    }
  }
  constexpr double kSame = 0.15;  // of the default depths: half a decibel at the most
  for (std::size_t a = 0; a < kJudgedLevels; ++a) {
    Amount& amount = amounts[a];
    amount.error = matrix[a][a] > 0.0 ? 1.0 / std::sqrt(matrix[a][a])
                                      : std::numeric_limits<double>::infinity();
    if (std::abs(amount.value - 1.0) < std::max(kSame, 2.0 * amount.error)) amount.value = 1.0;
  }
}

}  // namespace arsis
