#include "take/comparison.h"

#include "take/evidence.h"
#include "take/piece_lead.h"

namespace arsis {

Comparison compare(const Score& score, const BoundPlan& plan, const Take& take,
                   const Alignment& alignment, const Instrument& instrument) {
  const Heard heard = hear(score, plan, take, alignment, instrument);
  Comparison comparison;
  comparison.melody_played = !heard.melody.empty();
  std::vector<std::optional<double>> paces;
  for (std::size_t i = 0; i < plan.sentences.size(); ++i) {
    paces.push_back(pace_of(score, plan, heard, i));
  }
  LeadsHeard leads = hear_leads(score, plan, heard);
  comparison.sentences = std::move(leads.sentences);
  comparison.phrases = std::move(leads.phrases);
  comparison.motifs = std::move(leads.motifs);
  comparison.piece = hear_piece(plan, heard, leads.losses);
  comparison.ends = hear_block_ends(score, plan, take, heard, paces);
  comparison.dynamics = hear_dynamics(score, plan, heard, leads.losses);
  comparison.tempo = hear_tempo(paces);
  comparison.balance = hear_balance(score, plan, take, heard);
  comparison.evenness = hear_evenness(score, plan, take, heard);
  return comparison;
}

}  // namespace arsis
