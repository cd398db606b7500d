#include "draft/draft.h"

#include <utility>

#include "base/text.h"
#include "draft/drafted_plan.h"

namespace arsis {

namespace {
constexpr std::size_t kLongestTitle = 200;  // bytes
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
  const Structure& best = draft.structures.front().structure;
  const Surface surface = surface_of(material);
  draft.mains = choose_mains(surface, best);
  draft.landings = landings(surface, best.motifs);
  draft.plan = with_mains(plan_of(best, material), draft.mains);
  draft.plan.parts = std::move(roles.parts);
  draft.plan.title = printable(draft.score.title, kLongestTitle);
  for (std::size_t i = 1; i < draft.structures.size(); ++i) {
    const Structure& other = draft.structures[i].structure;
    draft.others.push_back(with_mains(plan_of(other, material), choose_mains(surface, other)));
  }
  return draft;
}

}  // namespace arsis
