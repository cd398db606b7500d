// A plan and its score, read and laid over each other: what most commands begin with. A score alone
// will do: then a plan is drafted for it.
#pragma once

#include <filesystem>
#include <string>

#include "base/diagnostic.h"
#include "musicxml/score_reader.h"
#include "plan/binding.h"
#include "plan/plan.h"
#include "score/score.h"

namespace arsis {

struct Loaded {
  Plan plan;  // of a score alone: the drafted one, with the score's own name for its file; without
              // blocks where none can be drafted
  Score score;
  Printed printed;  // by the score's page
  BoundPlan bound;
  bool is_score_alone = false;
};

// The plan's title, else the score's; may be empty.
const std::string& title_of(const Loaded& loaded);

// Whether the file is a score and no plan: by its ending (.mid, .midi, .musicxml, .xml, .mxl), or
// because it begins as a MIDI file does.
bool is_score(const std::filesystem::path& path);

// A score of either kind, told by is_musicxml(); a MIDI file's page is empty.
Result<PrintedScore> read_any_score(const std::filesystem::path& path);

// `path` is a plan's, or a score's. All errors of the plan's text at once; then those of the score;
// then those of laying one over the other. Warnings of all three come with the value, for a score
// alone one that says so, and none of what is drafted for it.
Result<Loaded> load(const std::filesystem::path& path);

}  // namespace arsis
