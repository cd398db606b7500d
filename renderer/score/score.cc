#include "score/score.h"

#include <algorithm>
#include <cmath>

namespace arsis {

Beats Score::end() const {
  Beats last{0.0};
  for (const Note& note : notes) last = std::max(last, note.end);
  return last;
}

Beats Score::snapped(Beats at) const { return {std::round(at.value * division) / division}; }

Score with_pickup(Score score, Beats pickup) {
  score.bars = Bars::of(score.signatures, score.end(), pickup);
  return score;
}

}  // namespace arsis
