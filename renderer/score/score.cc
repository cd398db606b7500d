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

Score with_speed(Score score, double speed) {
  constexpr double kSlowest = 16'777'215.0;  // what a tempo event can hold
  std::vector<TempoChange> changes(score.tempo.changes().begin(), score.tempo.changes().end());
  for (TempoChange& change : changes) {
    const double slowed = static_cast<double>(change.microseconds_per_quarter) / speed;
    change.microseconds_per_quarter = std::llround(std::clamp(slowed, 1.0, kSlowest));
  }
  score.tempo = TempoMap(changes);
  return score;
}

Score with_pickup(Score score, Beats pickup) {
  score.bars = Bars::of(score.signatures, score.end(), pickup);
  return score;
}

}  // namespace arsis
