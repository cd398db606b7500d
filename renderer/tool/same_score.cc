#include "tool/same_score.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <system_error>

#include "base/text.h"
#include "plan/plan_reader.h"

namespace arsis {
namespace {

namespace fs = std::filesystem;

bool is_same_note(const Note& a, const Note& b) {
  return a.onset == b.onset && a.end == b.end && a.key == b.key && a.part == b.part;
}

}  // namespace

Diagnostics differing_scores(const Loaded& plan, const Loaded& other) {
  const fs::path own = score_path(plan.plan);
  const fs::path others = score_path(other.plan);
  std::error_code ignored;
  if (!fs::equivalent(own, others, ignored)) {
    return fail({.file = other.plan.file},
                fmt::format("is about another score, '{}'", printable(other.plan.score)),
                fmt::format("name a plan of '{}'", printable(own.string())));
  }
  if (std::ranges::equal(plan.score.notes, other.score.notes, is_same_note) &&
      plan.score.messages.size() == other.score.messages.size()) {
    return {};
  }
  return fail({.file = other.plan.file}, "tells the hands of the score apart in another way",
              "give both plans the same 'parts:'");
}

}  // namespace arsis
