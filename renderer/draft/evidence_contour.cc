// The melody's contour: its peak, the way it goes, its turns.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "draft/comparison.h"
#include "draft/evidence.h"

namespace arsis {
namespace {

// What each of the three counts for, together 1.
constexpr double kPeak = 0.5;
constexpr double kDirection = 0.35;
constexpr double kTurn = 0.15;

constexpr double kFullPeak = 5.0;   // semitones: a fourth over the other members' peaks
constexpr double kFullRange = 7.0;  // semitones: a line of at least a fifth has a full direction

const LineNote* highest(std::span<const LineNote> line) {
  const auto found = std::ranges::max_element(line, {}, &LineNote::key);
  return found == line.end() ? nullptr : &*found;
}

const LineNote* most_accented(std::span<const LineNote> line) {
  const auto found = std::ranges::max_element(line, {}, &LineNote::melodic_accent);
  return found == line.end() ? nullptr : &*found;
}

// Pearson's correlation of pitch with time, times how far the line ranges: 1 for a line that climbs
// straight over a fifth or more, -1 for one that falls so.
double direction_of(std::span<const LineNote> line) {
  if (line.size() < 2) return 0.0;
  const auto count = static_cast<double>(line.size());
  const Beats origin = line.front().onset;
  double time = 0.0;
  double pitch = 0.0;
  for (const LineNote& note : line) {
    time += (note.onset - origin) / note.pulse / count;
    pitch += (note.key - line.front().key) / count;
  }
  double both = 0.0;
  double times = 0.0;
  double pitches = 0.0;
  for (const LineNote& note : line) {
    const double t = (note.onset - origin) / note.pulse - time;
    const double p = note.key - line.front().key - pitch;
    both += t * p;
    times += t * t;
    pitches += p * p;
  }
  if (times <= 0.0 || pitches <= 0.0) return 0.0;
  const auto [low, high] = std::ranges::minmax(line, {}, &LineNote::key);
  return both / std::sqrt(times * pitches) * std::min(1.0, (high.key - low.key) / kFullRange);
}

}  // namespace

Findings contour_evidence(const Surface& surface, const Members& members) {
  const std::size_t count = members.spans.size();
  Findings findings(count);
  if (count < 2) return findings;
  std::vector<std::optional<double>> peaks(count);
  std::vector<std::optional<double>> turns(count);
  for (std::size_t i = 0; i < count; ++i) {
    const std::span<const LineNote> line = surface.line_within(members.spans[i]);
    if (line.empty()) continue;
    peaks[i] = highest(line)->key;
    turns[i] = most_accented(line)->melodic_accent;
  }
  const std::vector<double> by_peak = compared(peaks, kFullPeak);
  const std::vector<double> by_turn = compared(turns, 1.0);
  const double direction =
      direction_of(surface.line_within({members.spans.front().begin, members.spans.back().end}));
  for (std::size_t i = 0; i < count; ++i) {
    // -1 for the first member, 1 for the last.
    const double side = 2.0 * static_cast<double>(i) / static_cast<double>(count - 1) - 1.0;
    Finding& finding = findings[i];
    finding.score = kPeak * by_peak[i] + kDirection * direction * side + kTurn * by_turn[i];
    if (!peaks[i] || finding.score < kWorthWords) continue;
    const std::span<const LineNote> line = surface.line_within(members.spans[i]);
    if (by_peak[i] > 0.0) {
      finding.words =
          fmt::format("peak of the {} ({})", name_of(members.level), surface.named(*highest(line)));
    } else if (direction * side > 0.0) {
      finding.words = direction > 0.0 ? "the line climbs to it" : "the line falls from it";
    } else {
      finding.words = fmt::format("melodic accent on {}", surface.named(*most_accented(line)));
    }
  }
  return findings;
}

}  // namespace arsis
