// Plans as text in tests: what the reader and the binder say of them.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <string_view>
#include <vector>

#include "plan/binding.h"
#include "plan/plan_reader.h"
#include "score/score.h"

namespace arsis::test {

// Lines 1 to 4 of a plan that lacks nothing.
inline const std::string kWholePlan =
    "arsis: 1\n"
    "score: a.mid\n"
    "motif: {length: 1 bar, from: 1:3}\n"
    "sentences: [{phrases: [u /]}]\n";

// Lines 1 to 3 of a plan that goes on with its sentences.
inline const std::string kUpToSentences =
    "arsis: 1\n"
    "score: a.mid\n"
    "motif: {length: 1 bar, from: 1:3}\n";

inline std::vector<std::string> texts_of(const Diagnostics& diagnostics) {
  std::vector<std::string> texts;
  for (const Diagnostic& diagnostic : diagnostics) texts.push_back(to_string(diagnostic));
  return texts;
}

inline std::vector<std::string> complaints(std::string_view plan) {
  return texts_of(parse_plan(plan, "p").diagnostics());
}

// A plan and all that is said of it.
struct ComplaintRow {
  std::string plan;
  std::vector<std::string> messages;
};

// The plan, which must be without fault.
inline Plan plan_of(std::string_view text) {
  Result<Plan> plan = parse_plan(text, "p");
  EXPECT_EQ(texts_of(plan.diagnostics()), std::vector<std::string>{}) << text;
  return plan ? *std::move(plan) : Plan{};
}

// What laying the plan over the score brings up.
inline std::vector<std::string> binding_complaints(std::string_view plan, const Score& score) {
  const Plan read = plan_of(plan);
  return texts_of(bind_plan(read, with_plan_pickup(score, read)).diagnostics());
}

// The plan laid over the score, which must be without errors; warnings are passed over.
inline BoundPlan bound_of(std::string_view plan, const Score& score) {
  const Plan read = plan_of(plan);
  Result<BoundPlan> bound = bind_plan(read, with_plan_pickup(score, read));
  EXPECT_TRUE(bound) << ::testing::PrintToString(texts_of(bound.diagnostics()));
  return bound ? *std::move(bound) : BoundPlan{};
}

}  // namespace arsis::test
