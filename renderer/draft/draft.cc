#include "draft/draft.h"

#include <utility>

#include "base/text.h"
#include "draft/drafted_plan.h"

namespace arsis {

namespace {

constexpr std::size_t kLongestTitle = 200;  // bytes

// A last motif in which no note of the melody begins is an afterbeat of the one before, unless its
// phrase would be left with one motif.
Structure joined_end(Structure structure, const Material& material) {
  const std::size_t in_phrase = structure.motifs.size() - structure.phrases.back();
  const std::vector<std::size_t>& melody = material.bound.melody;
  if (in_phrase < 3 || melody.empty()) return structure;
  const Span last = structure.motifs.back();
  if (material.score.notes[melody.back()].onset >= last.begin) return structure;
  structure.motifs.pop_back();
  structure.motifs.back().end = last.end;
  return structure;
}

// The plan of a structure with its mains. What is left of the last bar belongs to its last motif
// without being said, where binding sees it so.
Plan plan_with(const Structure& structure, const Mains& mains, const Material& material) {
  Plan plan = with_mains(plan_of(structure, material), mains);
  std::optional<WrittenPosition>& end = plan.sentences.back().phrases.back().motifs.back().to;
  if (!end) return plan;
  const WrittenPosition said = *std::exchange(end, std::nullopt);
  const Result<BoundPlan> bound = bind_plan(plan, material.score, material.printed);
  if (!bound || bound->motifs.back().span != structure.motifs.back()) end = said;
  return plan;
}

}  // namespace

Plan with_mains(Plan plan, const Mains& mains) {
  std::size_t phrase = 0;
  for (std::size_t i = 0; i < plan.sentences.size(); ++i) {
    SentencePlan& sentence = plan.sentences[i];
    sentence.main = mains.sentences[i].main;
    for (PhrasePlan& each : sentence.phrases) each.main = mains.phrases[phrase++].main;
  }
  plan.main.reset();
  if (mains.piece) plan.main = mains.piece->main;
  return plan;
}

std::optional<Draft> draft_of(Score score, const Printed& printed, bool has_page,
                              const StructureWishes& wishes) {
  if (!has_pitches(score)) return std::nullopt;
  Draft draft;
  draft.score = has_page ? std::move(score) : with_drafted_hands(std::move(score));
  draft.parts = drafted_parts(draft.score);
  Plan roles;
  roles.file = draft.score.file;
  for (const DraftedPart& part : draft.parts) roles.parts.push_back(part.plan);
  Result<BoundPlan> bound = bind_plan(roles, draft.score, printed);
  if (!bound) return std::nullopt;
  draft.bound = *std::move(bound);
  const Material material{draft.score, draft.bound, printed};
  draft.structures = structures(material, wishes);
  if (draft.structures.empty()) return std::nullopt;
  for (ScoredStructure& found : draft.structures) {
    found.structure = joined_end(std::move(found.structure), material);
  }
  const Structure& best = draft.structures.front().structure;
  const Surface surface = surface_of(material);
  draft.mains = choose_mains(surface, best);
  draft.landings = landings(surface, best.motifs);
  draft.plan = plan_with(best, draft.mains, material);
  draft.plan.parts = std::move(roles.parts);
  draft.plan.title = printable(draft.score.title, kLongestTitle);
  for (std::size_t i = 1; i < draft.structures.size(); ++i) {
    const Structure& other = draft.structures[i].structure;
    draft.others.push_back(plan_with(other, choose_mains(surface, other), material));
  }
  return draft;
}

}  // namespace arsis
