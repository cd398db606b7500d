// Where the last interval of a motif lands. There is nothing to choose there, but something to
// know.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "draft/surface.h"

namespace arsis {

enum class LandingKind : std::uint8_t {
  kSilent,    // the motif holds no melody note
  kDownbeat,  // on a downbeat
  kBeat,      // on another place, no weaker than the note before
  kFeminine,  // on a weaker place than a strong beat's note before it: a feminine ending
  kRest,      // before a downbeat within the motif that is a rest
};

struct Landing {
  LandingKind kind = LandingKind::kSilent;
  std::string words;  // "feminine ending: G4 at 3:2, after the stronger 3:1"
};

// One for each motif.
std::vector<Landing> landings(const Surface& surface, std::span<const Span> motifs);

}  // namespace arsis
