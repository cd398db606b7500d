#include "take/comparison.h"

#include <algorithm>

namespace arsis {

Comparison compare(const Score& score, const BoundPlan& plan, const Take& take,
                   const Alignment& alignment, const Instrument& instrument) {
  const Heard heard = hear(score, plan, take, alignment, instrument);
  Comparison comparison;
  comparison.melody_played = !heard.melody.empty();
  std::vector<std::optional<double>> paces;
  std::vector<LevelArcs::Loss> losses;
  for (std::size_t i = 0; i < plan.sentences.size(); ++i) {
    SentenceHeard sentence = hear_sentence(score, plan, heard, i);
    comparison.sentences.push_back(sentence.lead);
    std::ranges::move(sentence.phrases, std::back_inserter(comparison.phrases));
    std::ranges::move(sentence.motifs, std::back_inserter(comparison.motifs));
    std::ranges::move(sentence.losses, std::back_inserter(losses));
    paces.push_back(sentence.pace);
  }
  std::ranges::sort(losses, {}, &LevelArcs::Loss::note);
  comparison.ends = hear_block_ends(score, plan, take, heard, paces);
  comparison.dynamics = hear_dynamics(score, plan, heard, losses);
  comparison.tempo = hear_tempo(paces);
  comparison.balance = hear_balance(score, plan, take, heard);
  comparison.evenness = hear_evenness(score, plan, take, heard);
  return comparison;
}

}  // namespace arsis
