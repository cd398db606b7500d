// How likely an answer to yes-or-no questions is by chance alone.
#pragma once

namespace arsis {

// The most trials that at_least_by_chance() is asked for: below it no power of two underflows.
inline constexpr int kMostTrials = 1000;

// The probability (a ratio, 0..1) of `hits` or more right answers of `trials`, each guessed from
// two: the one-sided binomial p-value, the sum over k from `hits` of C(trials, k) / 2^trials.
//   trials  0..kMostTrials
//   hits    0..trials; of 0 the probability is 1
double at_least_by_chance(int hits, int trials);

}  // namespace arsis
