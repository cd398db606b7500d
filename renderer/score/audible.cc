#include "score/audible.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <vector>

namespace arsis {
namespace {

// By how much a note of `a` is over that of `b`.
std::vector<Decibels> level_differences(const Performance& a, const Performance& b) {
  std::vector<Decibels> all;
  for (std::size_t i = 0; i < a.notes.size(); ++i) {
    if (!a.notes[i].sounds || !b.notes[i].sounds) continue;
    all.push_back(level_of(a.notes[i].velocity) - level_of(b.notes[i].velocity));
  }
  return all;
}

bool differ_in_level(const Performance& a, const Performance& b) {
  const std::vector<Decibels> differences = level_differences(a, b);
  Decibels mean;  // what one loudness for both takes away
  for (const Decibels each : differences) {
    mean = mean + each / static_cast<double>(differences.size());
  }
  return std::ranges::any_of(differences, [&](Decibels each) {
    return std::abs((each - mean).value) >= kLevelStep.value;
  });
}

// The clock's way from onset to onset; what is struck a little before or after it does not count.
std::vector<Seconds> intervals_of(const Excerpt& excerpt) {
  std::vector<Beats> onsets;
  for (const Note& note : excerpt.score.notes) onsets.push_back(note.onset);
  std::ranges::sort(onsets);
  std::vector<Seconds> all;
  for (std::size_t i = 1; i < onsets.size(); ++i) {
    if (onsets[i] == onsets[i - 1]) continue;
    const TimeMap& time = excerpt.performance.time;
    all.push_back(time.seconds_at(onsets[i]) - time.seconds_at(onsets[i - 1]));
  }
  return all;
}

}  // namespace

Seconds time_step(Seconds interval) { return std::max(Seconds{0.006}, interval * 0.025); }

bool is_heard_apart(const Excerpt& a, const Excerpt& b) {
  assert(a.performance.notes.size() == b.performance.notes.size());
  if (differ_in_level(a.performance, b.performance)) return true;
  const std::vector<Seconds> one = intervals_of(a);
  const std::vector<Seconds> other = intervals_of(b);
  assert(one.size() == other.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    const Seconds shorter = std::min(one[i], other[i]);
    if (std::max(one[i], other[i]) - shorter >= time_step(shorter)) return true;
  }
  return false;
}

}  // namespace arsis
