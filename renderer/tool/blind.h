// `arsis audition PLAN --blind 12`: pairs of readings, one of them the plan's own, in random order;
// which is it?
#pragma once

#include "shape/layers.h"
#include "tool/audition.h"

namespace arsis {

// The most pairs of a run.
inline constexpr int kMostPairs = 100;

// Errors of the command line: how many pairs, which order.
Diagnostics blind_usage(const AuditionArgs& args);

// Plays the pairs and asks; then prints how many were right, and how likely that is by chance. The
// block is the one that is named, or for each pair a phrase of the plan by chance. Answers are keys
// on a terminal, else lines of standard input. `args` are free of blind_usage(). Reports errors
// itself; the exit code.
int run_blind(const AuditionArgs& args, const Layers& layers);

}  // namespace arsis
