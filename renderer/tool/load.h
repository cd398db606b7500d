// A plan and its score, read and laid over each other: what most commands begin with. A score alone
// will do: then the plan is one that says nothing.
#pragma once

#include <filesystem>

#include "base/diagnostic.h"
#include "plan/binding.h"
#include "plan/plan.h"
#include "score/score.h"

namespace arsis {

struct Loaded {
  Plan plan;  // of a score alone: without blocks, and with the score's own name for its file
  Score score;
  Printed printed;  // by the score's page
  BoundPlan bound;
  bool is_score_alone = false;
};

// Whether the file is a score and no plan: by its ending (.mid, .midi, .musicxml, .xml, .mxl), or
// because it begins as a MIDI file does.
bool is_score(const std::filesystem::path& path);

// `path` is a plan's, or a score's. All errors of the plan's text at once; then those of the score;
// then those of laying one over the other. Warnings of all three come with the value, for a score
// alone one that says so.
Result<Loaded> load(const std::filesystem::path& path);

}  // namespace arsis
