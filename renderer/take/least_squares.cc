#include "take/least_squares.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <span>

namespace arsis {
namespace {

constexpr double kHuber = 1.345;  // of a spread: errors beyond it count less
constexpr int kHuberRounds = 6;
constexpr double kRidge = 1e-7;  // of a column's own square: columns that say the same share

// Normal equations of some of the unknowns.
class Normal {
 public:
  Normal(const LinearProblem& problem, const std::vector<double>& weights, double spread)
      : size_(problem.columns.size()), matrix_(size_ * size_), right_(size_) {
    for (std::size_t a = 0; a < size_; ++a) {
      for (std::size_t b = 0; b <= a; ++b) {
        double sum = 0.0;
        for (std::size_t i = 0; i < weights.size(); ++i) {
          sum += weights[i] * problem.columns[a][i] * problem.columns[b][i];
        }
        matrix_[a * size_ + b] = matrix_[b * size_ + a] = sum;
      }
      matrix_[a * size_ + a] *= 1.0 + kRidge;
      const double share = spread / problem.usual[a];
      matrix_[a * size_ + a] += share * share;
      for (std::size_t i = 0; i < weights.size(); ++i) {
        right_[a] += weights[i] * problem.columns[a][i] * problem.observed[i];
      }
    }
  }

  double at(std::size_t a, std::size_t b) const { return matrix_[a * size_ + b]; }
  const std::vector<double>& right() const { return right_; }

  // Solves for the unknowns in `used`, the others being 0. Cholesky; a column that says nothing new
  // gets 0.
  std::vector<double> solve(const std::vector<bool>& used, const std::vector<double>& right) const {
    std::vector<std::size_t> index;
    for (std::size_t a = 0; a < size_; ++a) {
      if (used[a] && at(a, a) > 0.0) index.push_back(a);
    }
    const std::size_t n = index.size();
    std::vector<double> lower(n * n);
    std::vector<double> x(n);
    for (std::size_t a = 0; a < n; ++a) {
      for (std::size_t b = 0; b <= a; ++b) {
        double sum = at(index[a], index[b]);
        for (std::size_t k = 0; k < b; ++k) sum -= lower[a * n + k] * lower[b * n + k];
        if (a == b) {
          lower[a * n + a] = std::sqrt(std::max(sum, at(index[a], index[a]) * kRidge));
        } else {
          lower[a * n + b] = sum / lower[b * n + b];
        }
      }
      x[a] = right[index[a]];
      for (std::size_t k = 0; k < a; ++k) x[a] -= lower[a * n + k] * x[k];
      x[a] /= lower[a * n + a];
    }
    for (std::size_t a = n; a-- > 0;) {
      for (std::size_t k = a + 1; k < n; ++k) x[a] -= lower[k * n + a] * x[k];
      x[a] /= lower[a * n + a];
    }
    std::vector<double> solution(size_);
    for (std::size_t a = 0; a < n; ++a) solution[index[a]] = x[a];
    return solution;
  }

 private:
  std::size_t size_;
  std::vector<double> matrix_;
  std::vector<double> right_;
};

// How fast the squares would fall if an unknown left 0.
double pull(const Normal& normal, const std::vector<double>& x, std::size_t unknown) {
  double sum = normal.right()[unknown];
  for (std::size_t b = 0; b < x.size(); ++b) sum -= normal.at(unknown, b) * x[b];
  return sum;
}

// Moves x towards `wanted` until the first unknown of one sign reaches 0; that one is used no more.
// Result: whether it came all the way.
bool approach(std::vector<double>& x, const std::vector<double>& wanted,
              const std::vector<LinearProblem::Sign>& signs, std::vector<bool>& used) {
  double step = 1.0;
  for (std::size_t a = 0; a < x.size(); ++a) {
    if (used[a] && signs[a] == LinearProblem::Sign::kNotNegative && wanted[a] < 0.0) {
      step = std::min(step, x[a] / (x[a] - wanted[a]));
    }
  }
  for (std::size_t a = 0; a < x.size(); ++a) {
    x[a] += step * (wanted[a] - x[a]);
    if (used[a] && signs[a] == LinearProblem::Sign::kNotNegative && step < 1.0 && x[a] <= 1e-12) {
      x[a] = 0.0;
      used[a] = false;
    }
  }
  return step == 1.0;
}

std::vector<double> solve(const Normal& normal, const std::vector<LinearProblem::Sign>& signs) {
  const std::size_t size = signs.size();
  std::vector<bool> used(size);
  for (std::size_t a = 0; a < size; ++a) used[a] = signs[a] == LinearProblem::Sign::kEither;
  std::vector<double> x = normal.solve(used, normal.right());
  for (std::size_t round = 0; round < 3 * size; ++round) {
    std::size_t best = size;
    double most = 1e-9;
    for (std::size_t a = 0; a < size; ++a) {
      if (used[a] || normal.at(a, a) <= 0.0) continue;
      const double gain = pull(normal, x, a) / std::sqrt(normal.at(a, a));
      if (gain > most) {
        most = gain;
        best = a;
      }
    }
    if (best == size) break;
    used[best] = true;
    for (std::size_t inner = 0; inner <= size; ++inner) {
      if (approach(x, normal.solve(used, normal.right()), signs, used)) break;
    }
  }
  return x;
}

std::vector<double> residuals_of(const LinearProblem& problem, const std::vector<double>& x) {
  std::vector<double> residuals = problem.observed;
  for (std::size_t a = 0; a < x.size(); ++a) {
    for (std::size_t i = 0; i < residuals.size(); ++i) residuals[i] -= x[a] * problem.columns[a][i];
  }
  return residuals;
}

double spread_of(const std::vector<double>& residuals, const std::vector<double>& x) {
  const auto used =
      static_cast<double>(std::ranges::count_if(x, [](double unknown) { return unknown != 0.0; }));
  const auto count = static_cast<double>(residuals.size());
  std::vector<double> sizes;
  for (const double residual : residuals) sizes.push_back(std::abs(residual));
  return kNormalSpread * median_of(std::move(sizes)) *
         std::sqrt(count / std::max(1.0, count - used));
}

}  // namespace

std::size_t LinearProblem::add(std::vector<double> column, Sign sign, double usual_size) {
  assert(column.size() == observed.size());
  columns.push_back(std::move(column));
  signs.push_back(sign);
  usual.push_back(usual_size);
  return columns.size() - 1;
}

LinearFit fit_robustly(const LinearProblem& problem, double least_spread) {
  LinearFit fit;
  fit.weights.assign(problem.observed.size(), 1.0);
  fit.spread = least_spread;
  for (int round = 0; round < kHuberRounds; ++round) {
    fit.unknowns = solve(Normal(problem, fit.weights, fit.spread), problem.signs);
    fit.residuals = residuals_of(problem, fit.unknowns);
    fit.spread = std::max(least_spread, spread_of(fit.residuals, fit.unknowns));
    for (std::size_t i = 0; i < fit.weights.size(); ++i) {
      const double size = std::abs(fit.residuals[i]);
      fit.weights[i] = size <= kHuber * fit.spread ? 1.0 : kHuber * fit.spread / size;
    }
  }
  return fit;
}

double error_of(const LinearProblem& problem, const LinearFit& fit,
                const std::vector<double>& difference) {
  std::vector<bool> used(difference.size());
  for (std::size_t a = 0; a < used.size(); ++a) {
    used[a] = problem.signs[a] == LinearProblem::Sign::kEither || fit.unknowns[a] > 0.0 ||
              difference[a] != 0.0;
  }
  const std::vector<double> x = Normal(problem, fit.weights, fit.spread).solve(used, difference);
  double variance = 0.0;
  for (std::size_t a = 0; a < x.size(); ++a) variance += difference[a] * x[a];
  return fit.spread * std::sqrt(std::max(0.0, variance));
}

double median_of(std::vector<double> values) {
  if (values.empty()) return 0.0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::ranges::nth_element(values, middle);
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2.0;
}

}  // namespace arsis
