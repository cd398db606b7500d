// The dynamics and marks that are in force, each with its place in the piece and with where it is
// written: in the plan, or on the score's page. `check` lists them as text and as JSON.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.h"
#include "score/bars.h"
#include "tool/load.h"

namespace arsis {

struct InForce {
  Beats at;
  std::string text;  // "mf", "dim to 8:2, p", "staccato to 6:4, 12 notes"
  std::string part;  // "right hand", "right hand, left hand"; empty: every part
  Where source;
  std::optional<Where> instead_of;  // what of the page it is in place of; the first such
  std::optional<Beats> to;          // of a hairpin its end, of a run of marks its last note
};

// By time; of one moment in the order of writing, the plan's first.
std::vector<InForce> dynamics_in_force(const Loaded& loaded);
// The same mark on one note of a part after the other is one entry.
std::vector<InForce> marks_in_force(const Loaded& loaded);

// Both as sections under a heading each; nothing of what is empty. Of a section the first
// kMostShown entries, unless `all` are asked for.
inline constexpr std::size_t kMostShown = 40;
std::string in_force_text(const Loaded& loaded, bool all);

// "bars 1 to 4 are played twice: 1:1 is the first time, 1:1/2nd the second"; nothing where each bar
// is played once.
std::string repeats_text(const Bars& bars);

}  // namespace arsis
