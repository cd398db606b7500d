// A comparison of a take with its plan in words: what a teacher would say first, then a table.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "take/alignment.h"
#include "take/comparison.h"
#include "tool/load.h"
#include "tool/take_file.h"

namespace arsis {

// A take that was laid against a plan.
struct ComparedTake {
  TakeFile file;
  Alignment alignment;
  Comparison comparison;
};

std::string_view verdict_name(Verdict verdict);  // "as planned", "otherwise", ...

// How the take went through the score, a line each: what was played again, left out or not at all;
// empty where it went straight through.
std::vector<std::string> course_of(const Loaded& loaded, const ComparedTake& take);

// What was heard of the plan, a line each.
std::vector<std::string> summary_of(const Loaded& loaded, const ComparedTake& take);

// Every block with its planned and its heard main, and the written dynamics.
std::string comparison_table(const Loaded& loaded, const ComparedTake& take);

// Several takes, a line each, as they were named: is it getting nearer to the plan?
std::string trend_table(const std::vector<ComparedTake>& takes);

// The JSON of `take compare --json`; DEVELOPERS.md documents its fields.
std::string comparison_json(const Loaded& loaded, const std::vector<ComparedTake>& takes);

}  // namespace arsis
