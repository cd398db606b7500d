// Reads a plan. All errors of the file come at once, each with its line and column; whether the
// plan fits its score is told by bind_plan (plan/binding.h).
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include "base/diagnostic.h"
#include "plan/plan.h"

namespace arsis {

// The plan that `text` holds. `file` is for messages and is kept as Plan::file.
Result<Plan> parse_plan(std::string_view text, const std::string& file);

Result<Plan> read_plan(const std::filesystem::path& path);

// Where the plan's score lies: Plan::score, relative to the plan's own folder.
std::filesystem::path score_path(const Plan& plan);

}  // namespace arsis
