// The arithmetic of weighing a cue: least squares with what may differ beside taken out, errors
// that carry on from one observation to the next, single wrong notes that count little. Pure.
#pragma once

#include <array>
#include <vector>

#include "take/evidence.h"

namespace arsis {

// How a cue errs in a take.
struct Noise {
  double spread = 1.0;  // standard deviation of an error, dB or seconds
  double carry = 0.0;   // 0..1: how much of an error the next observation keeps
};

// One cue in one sentence, free of what may differ beside; in units of its spread.
struct Normal {
  std::vector<double> pull;    // of each column: times the observations
  std::vector<double> matrix;  // of each two columns
};

// `weights`: one for each observation, 0..1: how far it is believed.
Normal normal_of(const CueEvidence& evidence, const std::vector<double>& weights,
                 const Noise& noise);

// What the columns, so much of each, leave of the pulls.
std::vector<double> left_of(const Normal& normal, const std::vector<double>& added);

// What is left of the observations when `fitted` and all that may differ beside is taken off, over
// their errors. `free`: how many observations there are more than could differ beside.
struct Residuals {
  std::vector<double> left;
  double free = 0.0;
};
Residuals residuals_of(const CueEvidence& evidence, const std::vector<double>& fitted);

// The noise of residuals of all sentences, and the weights that follow, as of Student's
// distribution: what lies far off the others counts little.
// Sources: Lange, Little & Taylor 1989 (weights; from memory); an error that carries on as a first
// order autoregression, Cochrane & Orcutt 1949 (from memory). `least`, above 0: errors below it are
// none.
struct NoiseFit {
  Noise noise;
  std::vector<std::vector<double>> weights;  // by sentence
  double likelihood = 0.0;                   // logarithm, but for a constant
};
NoiseFit fit_noise(const std::vector<Residuals>& residuals, double least);

// How much of the model's arcs of one level a cue has in a take; 1: as much as the model.
struct Amount {
  double value = 1.0;  // ratio, 0..5
  double error = 1.0;  // its standard error
};

// Amounts that are not below 0 and usually lie about 1, give or take a half; what nobody could tell
// from 1 is 1. `matrix` and `pull` are the normal equations.
// Source: least squares with signs (Lawson & Hanson 1974, from memory), by Gauss and Seidel's
// steps.
void solve_amounts(const std::array<double, kJudgedLevels>& pull,
                   const std::array<std::array<double, kJudgedLevels>, kJudgedLevels>& matrix,
                   std::array<Amount, kJudgedLevels>& amounts);

double product(const std::vector<double>& a, const std::vector<double>& b);

}  // namespace arsis
