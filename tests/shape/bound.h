// Plans for the tests of the model: the lines that matter, laid over a score at once.
#pragma once

#include <stdexcept>
#include <string>

#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "score_builder.h"

namespace arsis::test {

inline constexpr const char* kMelodyAlone = "parts: [{name: r, track: 1, role: melody}]\n";
inline constexpr const char* kTwoHands =
    "parts:\n  - {name: r, track: 1, role: melody}\n"
    "  - {name: l, track: 2, role: accompaniment, balance: -6 dB}\n";

// The plan of these lines over the score. A test whose plan is at fault must not go on.
inline BoundPlan bound(const Score& score, const std::string& lines,
                       const std::string& parts = kMelodyAlone) {
  const Result<Plan> plan = parse_plan("arsis: 1\nscore: x.mid\n" + parts + lines, "p.yaml");
  if (!plan) throw std::invalid_argument(to_string(plan.diagnostics().front()));
  Result<BoundPlan> bound = bind_plan(*plan, score);
  if (!bound) throw std::invalid_argument(to_string(bound.diagnostics().front()));
  return *std::move(bound);
}

// A right and a left hand, in 4/4 at 120 quarter notes a minute.
inline Score two_hands(const std::string& right, const std::string& left) {
  ScoreText text;
  text.parts = {right, left};
  return score_of(text);
}

}  // namespace arsis::test
