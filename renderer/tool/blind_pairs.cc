#include "tool/blind_pairs.h"

#include <utility>

#include "score/alike.h"
#include "tool/exit_code.h"
#include "tool/report.h"

namespace arsis {

void PairDrawer::add_candidates(const LedBlock& block) {
  const std::size_t count = readings_of(audition_.loaded().plan, block).size();
  for (std::size_t other = 1; other < count; ++other) candidates_.push_back({block, other});
}

std::optional<PairDrawer> PairDrawer::of(const AuditionArgs& args, const Layers& layers,
                                         int& code) {
  const PassageOptions& words = args.passage;
  const bool named = !words.phrase.empty() || !words.sentence.empty() || !args.against.empty();
  auto made = named ? audition_of(args, layers, code) : unchosen_audition(args, layers, code);
  if (!made) return std::nullopt;
  PairDrawer drawer(*std::move(made), args.lead_in);
  const Loaded& loaded = drawer.audition_.loaded();
  drawer.mains_ = mains_for(loaded);
  if (!args.against.empty()) {
    drawer.candidates_.push_back({});
  } else if (named) {
    drawer.add_candidates(*drawer.audition_.block);
  } else {
    for (std::size_t i = 0; i < loaded.bound.sentences.size(); ++i) {
      for (std::size_t k = 0; k < loaded.bound.sentences[i].count; ++k) {
        drawer.add_candidates({Level::kPhrase, i, k});
      }
    }
  }
  if (drawer.candidates_.empty()) {
    report(fail({.file = args.plan}, "has no phrase of two motifs or more",
                "name a block that has two members, or --against another plan"));
    code = kInputAtFault;
    return std::nullopt;
  }
  return drawer;
}

void PairDrawer::choose(const Candidate& candidate) {
  if (candidate.block) choose_block(audition_, *candidate.block, *mains_, lead_in_);
}

std::optional<BlindPair> PairDrawer::draw(Dice& dice) {
  while (!candidates_.empty()) {
    const std::size_t drawn = dice.below(candidates_.size());
    const Candidate candidate = candidates_[drawn];
    choose(candidate);
    const std::vector<HeardReading>& readings = audition_.readings;
    const Excerpt own = perform_reading(audition_, readings.front());
    const Excerpt other = perform_reading(audition_, readings[candidate.other]);
    if (!sounds_alike(own.performance, other.performance)) {
      return BlindPair{&audition_, candidate.other, dice.below(2) == 0};
    }
    candidates_.erase(candidates_.begin() + static_cast<std::ptrdiff_t>(drawn));
  }
  return std::nullopt;
}

}  // namespace arsis
