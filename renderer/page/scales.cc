// What all systems of a picture share: the ranges of pitch, level and tempo.
#include <algorithm>
#include <cmath>

#include "page/system.h"
#include "shape/ceiling.h"

namespace arsis {
namespace {

constexpr int kFewestKeys = 24;  // an octave each way looks like music, a single line does not
constexpr double kStep = 3.0;    // dB: edges of the band are multiples of it
constexpr Decibels kLeastRange{12.0};
constexpr Decibels kGreatestRange{42.0};
constexpr double kOutliers = 0.02;  // share of the levels that may lie under the band
constexpr double kSlowest = 0.4;    // ratios: what lies beyond stands on the edge
constexpr double kFastest = 2.0;
constexpr double kLeastTempo = 0.1;  // ratio: room above and below the written tempo

void spread_keys(Scales& scales) {
  const int missing = kFewestKeys - (scales.highest_key - scales.lowest_key);
  if (missing <= 0) return;
  scales.lowest_key = std::max(scales.lowest_key - missing / 2, 0);
  scales.highest_key = std::min(scales.lowest_key + kFewestKeys, 127);
}

void measure_keys(const Picture& picture, Span span, Scales& scales) {
  scales.has_pitches = false;
  scales.lowest_key = 127;
  scales.highest_key = 0;
  for (const Note& note : picture.score.notes) {
    if (note.onset >= span.end || note.end <= span.begin) continue;
    if (!is_pitched(picture.score.parts[note.part])) {
      scales.has_drums = true;
      continue;
    }
    scales.has_pitches = true;
    scales.lowest_key = std::min(scales.lowest_key, int{note.key});
    scales.highest_key = std::max(scales.highest_key, int{note.key});
  }
  if (!scales.has_pitches) scales.lowest_key = scales.highest_key = 60;
  spread_keys(scales);
}

// The steepest and lowest of the band's edges: multiples of kStep around what is drawn.
void measure_levels(const Picture& picture, Span span, Scales& scales) {
  std::vector<double> levels;
  double loudest = -96.0;
  for (std::size_t i = 0; i < picture.score.notes.size(); ++i) {
    if (!span.holds(picture.score.notes[i].onset)) continue;
    loudest = std::max(loudest, picture.levels[i].ceiling.value);
  }
  for (const Course& course : picture.courses) {
    for (const HeardLevel& point : course.levels) {
      if (!span.holds(point.at)) continue;
      loudest = std::max(loudest, point.level.value);
      levels.push_back(point.level.value);
    }
  }
  double softest = loudest - kLeastRange.value;
  if (!levels.empty()) {
    const auto place = levels.begin() + static_cast<std::ptrdiff_t>(
                                            static_cast<double>(levels.size() - 1) * kOutliers);
    std::ranges::nth_element(levels, place);
    softest = std::min(softest, *place);
  }
  loudest = std::min(std::ceil((loudest + 0.5) / kStep) * kStep, 0.0);
  softest = std::floor((softest - 0.5) / kStep) * kStep;
  scales.loudest = {loudest};
  scales.softest = {std::max(softest, loudest - kGreatestRange.value)};
}

void measure_tempo(const Picture& picture, Span span, Scales& scales) {
  scales.slowest = 1.0 - kLeastTempo;
  scales.fastest = 1.0 + kLeastTempo;
  for (const Course& course : picture.courses) {
    for (const TempoStretch& stretch : course.tempo) {
      if (stretch.span.end <= span.begin || stretch.span.begin >= span.end) continue;
      scales.slowest = std::max(std::min(scales.slowest, stretch.ratio), kSlowest);
      scales.fastest = std::min(std::max(scales.fastest, stretch.ratio), kFastest);
    }
  }
}

}  // namespace

Scales scales_of(const Picture& picture, Span passage) {
  Scales scales;
  const Span span = drawn_span(picture, passage);
  measure_keys(picture, span, scales);
  measure_levels(picture, span, scales);
  measure_tempo(picture, span, scales);
  return scales;
}

}  // namespace arsis
