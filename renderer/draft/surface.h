// The piece as evidence is read from it, worked out once: the melody note by note, the harmony, the
// dynamics.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "draft/dynamic_course.h"
#include "draft/harmony.h"
#include "draft/structure.h"

namespace arsis {

// A note of the melody's line.
struct LineNote {
  Beats onset;
  Beats pulse;       // the felt beat there
  Beats length;      // until the next of the line; across a rest as long as it is written
  std::size_t note;  // index into Score::notes
  int key = 60;
  double weight = 0.0;             // metrical_weight()
  double melodic_accent = 0.0;     // melodic_accents() over the whole line; 0 for its first note,
                                   // whose accent comes of no turn
  double durational_accent = 0.0;  // durational_accent() with a felt beat of kReferencePulse

  double pulses() const { return length / pulse; }
};

// Durations are weighed as if the felt beat lasted this long, whatever the tempo and the unit, so
// that the same music in longer values or at another speed has the same evidence. The rate is that
// of spontaneous tapping (from memory).
inline constexpr Seconds kReferencePulse{0.6};

struct Surface {
  Material material;
  std::vector<LineNote> line;  // by onset
  Harmony harmony;
  std::vector<DynamicCourse> dynamics;  // of BoundPlan::dynamics

  // The notes of the line that begin within the stretch.
  std::span<const LineNote> line_within(Span span) const;
  // "9:3", as a musician would write the moment.
  std::string place(Beats at) const;
  // The key of the bar that holds the moment.
  Tonality key_at(Beats at) const;
  // The note and where it stands: "G5 at 9:3", spelled in the key of its bar.
  std::string named(const LineNote& note) const;
};

Surface surface_of(const Material& material);

}  // namespace arsis
