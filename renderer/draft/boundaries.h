// How strongly a piece parts at a moment, and why: cues of the melody, of what is printed and of
// the bass.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "draft/boundary_models.h"
#include "draft/grouping_weights.h"
#include "draft/structure.h"

namespace arsis {

// By Cue, each a ratio 0..1; 0 says nothing.
using Cues = std::array<double, kCues>;
inline double& cue_of(Cues& cues, Cue cue) { return cues[static_cast<std::size_t>(cue)]; }
inline double cue_of(const Cues& cues, Cue cue) { return cues[static_cast<std::size_t>(cue)]; }

// Something that happens at a moment rather than between two notes.
struct BoundaryEvent {
  Beats at;
  Cue cue = Cue::kDynamics;
  double strength = 1.0;  // ratio 0..1
};

// All that is asked of a piece about its boundaries, found once.
struct BoundarySurvey {
  std::vector<LineNote> line;  // the melody; a note ends at the next one's onset at the latest, and
                               // a gap too short to be meant is closed
  Beats usual_interval;        // mean inter-onset interval, long silences not counted
  std::vector<Cues> after;     // for each note but the last: what speaks for a beginning after it
  std::vector<BoundaryEvent> events;  // by time
  double usual = 0.0;                 // mean strength() where a note of the melody begins
};
// Linear in notes, but for sorting and look-ups.
BoundarySurvey survey_boundaries(const Material& material);

// What speaks for and against a block that begins at `at`. An event at the bar line belongs to the
// upbeat that leads to it: events count up to `upbeat` after `at`. Where the next note begins
// later, what was heard before the rest counts less the longer one waits for it.
Cues cues_at(const BoundarySurvey& survey, Beats at, Beats upbeat);

// The weighted sum, about -2 to 4; higher is more of a boundary.
double strength(const Cues& cues);

// "rest before it, fermata before it": what counts, the weightiest first; empty where nothing does.
std::string words_of(const Cues& cues);

}  // namespace arsis
