#include "page/picture.h"

#include <algorithm>
#include <utility>

namespace arsis {

Course course_of(const Score& score, const BoundPlan& plan, const Shaped& shaped,
                 std::string name) {
  Course course;
  course.name = std::move(name);
  course.levels.reserve(score.notes.size());
  auto melody = plan.melody.begin();
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    while (melody != plan.melody.end() && *melody < i) ++melody;
    const bool leads = melody != plan.melody.end() && *melody == i;
    course.levels.push_back({score.notes[i].onset, shaped.levels[i].level, leads});
  }
  const auto knots = shaped.performance.time.knots();
  for (std::size_t i = 0; i + 1 < knots.size(); ++i) {
    const Seconds written =
        score.tempo.seconds_at(knots[i + 1].beat) - score.tempo.seconds_at(knots[i].beat);
    const Seconds played = knots[i + 1].second - knots[i].second;
    course.tempo.push_back({{knots[i].beat, knots[i + 1].beat}, written / played});
  }
  return course;
}

}  // namespace arsis
