#include "draft/evidence.h"

#include <cassert>

namespace arsis {
namespace {

Findings findings_of(Feature feature, const Surface& surface, const Members& members) {
  switch (feature) {
    case Feature::kDynamics:
      return dynamics_evidence(surface, members);
    case Feature::kArticulation:
      return articulation_evidence(surface, members);
    case Feature::kHarmony:
      return harmony_evidence(surface, members);
    case Feature::kContour:
      return contour_evidence(surface, members);
    case Feature::kRhythm:
      return rhythm_evidence(surface, members);
    case Feature::kRepetition:
      return repetition_evidence(surface, members);
  }
  return Findings(members.spans.size());
}

}  // namespace

std::vector<Candidate> evidence(const Surface& surface, const Members& members) {
  std::vector<Candidate> candidates(members.spans.size());
  for (const auto& [feature, name, weight] : kFeatureWeights) {
    Findings findings = findings_of(feature, surface, members);
    assert(findings.size() == candidates.size());
    for (std::size_t i = 0; i < candidates.size(); ++i) {
      candidates[i].total += findings[i].score * weight;
      candidates[i].findings[index_of(feature)] = std::move(findings[i]);
    }
  }
  return candidates;
}

}  // namespace arsis
