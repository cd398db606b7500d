#include "draft/landing.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "draft/metre.h"

namespace arsis {
namespace {

constexpr double kOverlap = 0.125;  // of a felt beat that a legato may reach over a bar line

// The next downbeat after a moment, if it lies within the span.
std::optional<Beats> downbeat_after(const Bars& bars, Beats at, Span span) {
  const Bar& bar = bars.at(at);
  return bar.span.end > at && bar.span.end < span.end ? std::optional(bar.span.end) : std::nullopt;
}

Landing landing_of(const Surface& surface, Span motif) {
  const std::span<const LineNote> line = surface.line_within(motif);
  if (line.empty()) return {LandingKind::kSilent, "no melody note"};
  const LineNote& last = line.back();
  const std::string name = surface.named(last);
  const Score& score = surface.material.score;
  const auto rest = downbeat_after(score.bars, last.onset, motif);
  if (rest && score.notes[last.note].end <= *rest + last.pulse * kOverlap) {
    return {LandingKind::kRest, fmt::format("stops at {}, before a rest on the downbeat", name)};
  }
  if (last.weight >= 1.0)
    return {LandingKind::kDownbeat, fmt::format("lands on the downbeat: {}", name)};
  const auto stronger = std::ranges::max_element(line, {}, &LineNote::weight);
  if (stronger->weight > last.weight && stronger->weight >= kStrongBeat) {
    return {LandingKind::kFeminine, fmt::format("feminine ending: {}, after the stronger {}", name,
                                                surface.place(stronger->onset))};
  }
  return {LandingKind::kBeat, fmt::format("lands on {}", name)};
}

}  // namespace

std::vector<Landing> landings(const Surface& surface, std::span<const Span> motifs) {
  std::vector<Landing> all;
  all.reserve(motifs.size());
  for (const Span& motif : motifs) all.push_back(landing_of(surface, motif));
  return all;
}

}  // namespace arsis
