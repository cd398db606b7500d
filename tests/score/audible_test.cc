// What is heard apart: by level, by time, and not by one loudness for all.
#include "score/audible.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace arsis {
namespace {

// Four quarter notes.
Excerpt some_excerpt(const std::vector<int>& velocities, const std::vector<double>& seconds) {
  Excerpt excerpt;
  std::vector<TimeMap::Knot> knots;
  for (std::size_t i = 0; i < velocities.size(); ++i) {
    const Beats beat{static_cast<double>(i)};
    Note note;
    note.onset = beat;
    note.end = beat + Beats{1.0};
    excerpt.score.notes.push_back(note);
    excerpt.performance.notes.push_back(
        {Seconds{seconds[i]}, Seconds{seconds[i] + 0.4}, Velocity::clamped(velocities[i])});
    knots.push_back({beat, Seconds{seconds[i]}});
  }
  excerpt.performance.time = TimeMap(knots);
  return excerpt;
}

const std::vector<int> kEven = {64, 64, 64, 64};
const std::vector<double> kOnsets = {0.0, 0.5, 1.0, 1.5};

// Friberg & Sundberg 1995: 6 ms below about 240 ms, 2.5 % above.
TEST(TimeStep, IsThePublishedThreshold) {
  struct Row {
    double interval, step;
  };
  for (const auto& [interval, step] :
       {Row{0.100, 0.006}, {0.240, 0.006}, {0.480, 0.012}, {1.000, 0.025}}) {
    EXPECT_NEAR(time_step(Seconds{interval}).value, step, 1e-12);
  }
}

// At velocity 64 a step of 1 dB is 3.8 (Jesteadt, Wier & Green 1977, by the standard's law); of one
// note in four a quarter goes with the mean. Of half a second a step of time is 12.5 ms.
TEST(HeardApart, IsAStepOfLevelOrOfTimeAndNotALoudness) {
  struct Row {
    std::string name;
    std::vector<int> velocities;
    std::vector<double> seconds;
    bool is_apart;
  };
  const std::vector<Row> rows = {
      {"the same", kEven, kOnsets, false},
      {"a note by half a step", {64, 66, 64, 64}, kOnsets, false},
      {"a note by two steps", {64, 72, 64, 64}, kOnsets, true},
      {"a note by two steps down", {64, 64, 57, 64}, kOnsets, true},
      {"all louder", {90, 90, 90, 90}, kOnsets, false},
      {"all later", kEven, {0.3, 0.8, 1.3, 1.8}, false},
      {"a beat longer by 10 ms", kEven, {0.0, 0.5, 1.01, 1.51}, false},
      {"a beat longer by 15 ms", kEven, {0.0, 0.5, 1.015, 1.515}, true},
      {"a beat shorter by 15 ms", kEven, {0.0, 0.485, 0.985, 1.485}, true},
  };
  const Excerpt even = some_excerpt(kEven, kOnsets);
  for (const Row& row : rows) {
    const Excerpt other = some_excerpt(row.velocities, row.seconds);
    EXPECT_EQ(is_heard_apart(even, other), row.is_apart) << row.name;
    EXPECT_EQ(is_heard_apart(other, even), row.is_apart) << row.name;
  }
}

// A note that is left out has no loudness.
TEST(HeardApart, PassesOverWhatDoesNotSound) {
  Excerpt one = some_excerpt(kEven, kOnsets);
  Excerpt other = some_excerpt({64, 100, 64, 64}, kOnsets);
  EXPECT_TRUE(is_heard_apart(one, other));
  one.performance.notes[1].sounds = false;
  EXPECT_FALSE(is_heard_apart(one, other));
  EXPECT_FALSE(is_heard_apart({}, {}));
}

}  // namespace
}  // namespace arsis
