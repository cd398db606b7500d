// Where each block leads: of a motif the arrival of its last interval, of a phrase the goal of its
// main motif, of a sentence the goal of its main phrase.
#include <fmt/format.h>

#include <algorithm>

#include "plan/binding_steps.h"

namespace arsis {
namespace {

// The last onset of the melody within the span: where its last interval arrives.
std::optional<Beats> last_melody_onset(const Binder& binder, Span span) {
  const auto onset = [&](std::size_t note) { return binder.score.notes[note].onset; };
  const std::vector<std::size_t>& melody = binder.bound.melody;
  const auto after = std::ranges::lower_bound(melody, span.end, {}, onset);
  if (after == melody.begin() || onset(*std::prev(after)) < span.begin) return std::nullopt;
  return onset(*std::prev(after));
}

std::optional<Beats> last_onset(const Score& score, Span span) {
  const auto after = std::ranges::lower_bound(score.notes, span.end, {}, &Note::onset);
  if (after == score.notes.begin() || std::prev(after)->onset < span.begin) return std::nullopt;
  return std::prev(after)->onset;
}

// The plan's own word on the motif's goal, if any.
const std::optional<WrittenPosition>* written_goal(const Plan& plan, const BoundPlan& bound,
                                                   std::size_t motif) {
  const Block& block = bound.motifs[motif];
  const Block& phrase = bound.phrases[block.parent];
  const SentencePlan& sentence = plan.sentences[phrase.parent];
  if (sentence.like) return nullptr;  // positions are not repeated elsewhere
  const std::size_t phrase_index = block.parent - bound.sentences[phrase.parent].first;
  return &sentence.phrases[phrase_index].motifs[motif - phrase.first].goal;
}

void find_motif_goal(Binder& binder, std::size_t index) {
  Block& motif = binder.bound.motifs[index];
  const auto* written = written_goal(binder.plan, binder.bound, index);
  if (written != nullptr && written->has_value()) {
    const std::optional<Beats> goal = binder.moment(**written);
    if (!goal) return;
    if (!motif.span.holds(*goal)) {
      binder.text.refuse((*written)->place,
                         fmt::format("the goal {} lies outside its motif", binder.at(*goal)),
                         fmt::format("the motif goes from {} to before {}",
                                     binder.at(motif.span.begin), binder.at(motif.span.end)));
      return;
    }
    motif.goal = *goal;
    return;
  }
  if (const auto goal = last_melody_onset(binder, motif.span)) {
    motif.goal = *goal;
    return;
  }
  binder.text.doubt(motif.place,
                    fmt::format("motif {} ({} to {}) holds no melody note",
                                block_name(binder.bound, Level::kMotif, index),
                                binder.at(motif.span.begin), binder.at(motif.span.end)),
                    "its goal is its last onset in any part; say goal: if it is elsewhere");
  motif.goal = last_onset(binder.score, motif.span).value_or(motif.span.begin);
}

}  // namespace

void find_goals(Binder& binder) {
  BoundPlan& bound = binder.bound;
  for (std::size_t i = 0; i < bound.motifs.size(); ++i) find_motif_goal(binder, i);
  for (Block& phrase : bound.phrases) phrase.goal = bound.motifs[phrase.main].goal;
  for (Block& sentence : bound.sentences) sentence.goal = bound.phrases[sentence.main].goal;
  for (Block& piece : bound.piece) piece.goal = bound.sentences[piece.main].goal;
}

}  // namespace arsis
