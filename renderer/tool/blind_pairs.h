// The pairs of a blind test, drawn by chance.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/dice.h"
#include "tool/audition.h"
#include "tool/audition_set.h"

namespace arsis {

// Two readings of one passage. The order is a coin's, whatever came before, so that each answer has
// one chance in two.
struct BlindPair {
  Audition* audition = nullptr;  // the drawer's, with the passage chosen; until the next draw
  std::size_t other = 1;         // index of the reading that is not the plan's own, which is 0
  bool own_first = false;
};

// Draws pairs that differ in what is heard.
class PairDrawer {
 public:
  // Reports errors itself; none then, with the exit code for it in `code`.
  static std::optional<PairDrawer> of(const AuditionArgs& args, const Layers& layers, int& code);

  // None: no pair differs in what is heard.
  std::optional<BlindPair> draw(Dice& dice);

 private:
  struct Candidate {
    std::optional<LedBlock> block;  // none: of two plans
    std::size_t other = 1;
  };

  PairDrawer(Audition audition, bool lead_in) : audition_(std::move(audition)), lead_in_(lead_in) {}
  void add_candidates(const LedBlock& block);
  void choose(const Candidate& candidate);

  Audition audition_;
  bool lead_in_;
  std::optional<Mains> mains_;
  std::vector<Candidate> candidates_;
};

}  // namespace arsis
