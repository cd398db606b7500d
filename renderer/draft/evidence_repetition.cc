// Repetition: two alike and a third that goes on.
#include <algorithm>

#include "draft/comparison.h"
#include "draft/evidence.h"
#include "draft/likeness.h"

namespace arsis {
namespace {

constexpr double kAlike = 0.75;  // of likeness, from here on two members are taken for alike
constexpr double kGoesOn = 0.5;  // of likeness less than that: a last one is something quite new

}  // namespace

Findings repetition_evidence(const Surface& surface, const Members& members) {
  const std::size_t count = members.spans.size();
  Findings findings(count);
  if (count < 3) return findings;
  double alike = 1.0;  // the least alike neighbours before the last
  for (std::size_t i = 0; i + 2 < count; ++i) {
    alike = std::min(alike, likeness(surface, members.spans[i], members.spans[i + 1]));
    if (alike < kAlike) return findings;
  }
  const double last = likeness(surface, members.spans[count - 2], members.spans[count - 1]);
  const double score = std::clamp((alike - last) / kGoesOn, 0.0, 1.0);
  for (std::size_t i = 0; i < count; ++i) findings[i].score = i + 1 < count ? -score : score;
  if (score > kWorthWords) {
    findings.back().words =
        count == 3 ? "goes on after two alike" : "goes on where those before are alike";
  }
  return findings;
}

}  // namespace arsis
