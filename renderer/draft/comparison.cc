#include "draft/comparison.h"

#include <algorithm>
#include <cassert>

namespace arsis {

std::vector<double> compared(std::span<const std::optional<double>> measures, double full) {
  assert(full > 0.0);
  std::optional<double> most;
  std::optional<double> second;
  for (const std::optional<double>& measure : measures) {
    if (!measure) continue;
    if (!most || *measure > *most) {
      second = most;
      most = measure;
    } else if (!second || *measure > *second) {
      second = measure;
    }
  }
  std::vector<double> scores(measures.size(), 0.0);
  if (measures.size() < 2 || !most) return scores;
  bool first_of_most = true;
  for (std::size_t i = 0; i < measures.size(); ++i) {
    if (!measures[i]) {
      scores[i] = -1.0;
      continue;
    }
    const bool leads = *measures[i] == *most && first_of_most;
    if (leads) first_of_most = false;
    const std::optional<double>& other = leads ? second : most;
    // Alone among silent members it leads as far as can be.
    scores[i] = other ? std::clamp((*measures[i] - *other) / full, -1.0, 1.0) : 1.0;
  }
  return scores;
}

}  // namespace arsis
