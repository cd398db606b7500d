// What all systems of a picture share: the ranges of pitch, level and tempo.
#include <algorithm>
#include <cmath>

#include "page/canvas.h"
#include "shape/ceiling.h"

namespace arsis {
namespace {

constexpr int kFewestKeys = 24;  // an octave each way looks like music, a single line does not
constexpr double kStep = 3.0;    // dB: edges of the band are multiples of it
constexpr Decibels kLeastRange{12.0};
constexpr Decibels kGreatestRange{42.0};
constexpr double kOutliers = 0.02;
constexpr double kUnusual = 0.08;  // shares of levels, and of tempos, that may stand on the edge
constexpr double kSlowest = 0.4;   // ratios: what lies beyond stands on the edge
constexpr double kFastest = 2.0;
constexpr double kTempoRoom = 0.01;
constexpr double kLeastTempo = 0.06;  // ratio: room above and below the written tempo

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

struct Range {
  Decibels least{0.0};
  Decibels most{-200.0};
  void meet(Decibels level) {
    least = std::min(least, level);
    most = std::max(most, level);
  }
};

// Of the ceilings: what the notes meet, and the ends of hairpins, where none may be struck.
Range ceiling_range(const Picture& picture, Span span) {
  Range range;
  for (std::size_t i = 0; i < picture.score.notes.size(); ++i) {
    if (span.holds(picture.score.notes[i].onset)) range.meet(picture.levels[i].ceiling);
  }
  for (const DynamicLine& line : picture.plan.dynamics) {
    if (line.empty()) continue;
    const Ceiling ceiling(line, picture.plan.tuning());
    for (const DynamicStretch& stretch : line) {
      if (stretch.to < span.begin || stretch.from > span.end) continue;
      for (const Beats at : {stretch.from, stretch.to - kJustBefore, stretch.to}) {
        range.meet(ceiling.at(std::max(at, Beats{0.0})));
      }
    }
  }
  return range;
}

// The band's upper and lower edge: multiples of kStep around what is drawn.
void measure_levels(const Picture& picture, Span span, Scales& scales) {
  std::vector<Decibels> levels;
  Range range = ceiling_range(picture, span);
  for (const Course& course : picture.courses) {
    for (const HeardLevel& heard : course.levels) {
      if (!span.holds(heard.at)) continue;
      range.most = std::max(range.most, heard.level);
      levels.push_back(heard.level);
    }
  }
  Decibels softest = std::min(range.least, range.most - kLeastRange);
  if (!levels.empty()) {
    const auto place = levels.begin() + static_cast<std::ptrdiff_t>(
                                            static_cast<double>(levels.size() - 1) * kOutliers);
    std::ranges::nth_element(levels, place);
    softest = std::min(softest, std::max(*place, range.most - kGreatestRange));
  }
  scales.loudest = {std::min(std::ceil((range.most.value + 0.5) / kStep) * kStep, 0.0)};
  scales.softest = {std::floor((softest.value - 0.5) / kStep) * kStep};
}

// Stretches of a course where it goes unusually fast or slow, a fermata above all, stand on the
// edge.
void measure_tempo(const Course& course, Span span, Scales& scales) {
  std::vector<double> ratios;
  for (const TempoStretch& stretch : course.tempo) {
    if (stretch.span.end > span.begin && stretch.span.begin < span.end) {
      ratios.push_back(stretch.ratio);
    }
  }
  if (ratios.empty()) return;
  std::ranges::sort(ratios);
  const auto outside = static_cast<std::size_t>(static_cast<double>(ratios.size()) * kUnusual);
  const double slowest = ratios[outside] - kTempoRoom;
  const double fastest = ratios[ratios.size() - 1 - outside] + kTempoRoom;
  scales.slowest = std::max(std::min(scales.slowest, slowest), kSlowest);
  scales.fastest = std::min(std::max(scales.fastest, fastest), kFastest);
}

}  // namespace

Scales scales_of(const Picture& picture, Span passage) {
  Scales scales;
  const Span span = drawn_span(picture, passage);
  measure_keys(picture, span, scales);
  measure_levels(picture, span, scales);
  scales.slowest = 1.0 - kLeastTempo;
  scales.fastest = 1.0 + kLeastTempo;
  for (const Course& course : picture.courses) measure_tempo(course, span, scales);
  for (const Remark& remark : picture.remarks) {
    const std::string name = block_name(picture.plan, remark.level, remark.index) + "  ";
    scales.remark_names = std::max(scales.remark_names, text_width(name, TextKind::kRemark));
  }
  return scales;
}

}  // namespace arsis
