// A plan and its score, read and laid over each other: what most commands begin with.
#pragma once

#include <filesystem>

#include "base/diagnostic.h"
#include "plan/binding.h"
#include "plan/plan.h"
#include "score/score.h"

namespace arsis {

struct Loaded {
  Plan plan;
  Score score;
  Printed printed;  // by the score's page
  BoundPlan bound;
};

// All errors of the plan's text at once; then those of the score; then those of laying one over the
// other. Warnings of all three come with the value.
Result<Loaded> load(const std::filesystem::path& plan_path);

}  // namespace arsis
