// Which choice of leading members a take speaks for: how likely each is, of all blocks together.
#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "take/cue_fit.h"
#include "take/evidence.h"

namespace arsis {

// Where a block lies between two choices, by one cue.
struct Contrast {
  double amplitude = 0.0;  // 1: as the one choice has it, -1: as the other
  double error = 0.0;      // its standard error; infinite where the cue has nothing to say
};

// Every choice of every block has a likelihood: how well what the model would play then, in the
// take's own amounts and beside all that may differ anyway, agrees with what was played, by the
// noise that the take itself has. What is unclear of one block is as it is with most of its level:
// the shares of blocks that lead (grow), do not, or fall away are their chances before anything is
// heard; among the members of a block all have the same. The likeliest choices of all blocks
// together are searched for; then amounts, noise and shares are fitted to them, and so on.
class Weighing {
 public:
  // Choices depend on how deep the arcs are, and that on the choices: where to begin.
  enum class Start : bool { kNoneLeads, kAllLead };
  Weighing(std::vector<SentenceEvidence> sentences, Start start);

  std::span<const SentenceEvidence> sentences() const { return sentences_; }
  Amount amount(ArcCue cue, Level level) const { return amounts_[index_of(cue)][index_of(level)]; }

  // The likeliest choice of a block (its place in Choices), all blocks of the sentence together.
  std::size_t likeliest(BlockPlace at) const { return states_[at.sentence].chosen[at.block]; }
  // Logarithm of how likely a choice is against the likeliest, with whatever the other blocks do
  // then: at most 0.
  double odds(BlockPlace at, std::size_t choice) const {
    return states_[at.sentence].odds[at.block][choice];
  }
  // All other blocks being as they are likeliest.
  Contrast contrast(ArcCue cue, BlockPlace at, std::size_t choice, std::size_t other) const;
  // What the likeliest choices add to each observation of a sentence, as in CueEvidence.
  std::vector<double> fitted(ArcCue cue, std::size_t sentence) const;
  // Logarithm, of all together; to be held against another of the same sentences.
  double likelihood() const;

 private:
  struct State {
    std::vector<std::size_t> chosen;        // by block
    std::vector<std::vector<double>> odds;  // by block and choice
    std::array<std::vector<double>, kCues> weights;
    std::array<Normal, kCues> normals;
  };
  // What the blocks of a sentence do at a time, and what of the pulls that leaves.
  struct Trial {
    std::vector<std::size_t> chosen;
    std::array<std::vector<double>, kCues> left;
    double likelihood = 0.0;
  };

  Trial trial_of(std::size_t sentence) const;
  double gain(const Trial& trial, BlockPlace at, std::size_t choice) const;
  void move(Trial& trial, BlockPlace at, std::size_t choice) const;
  void settle(std::size_t sentence, Trial& trial, std::size_t fixed) const;
  void search(std::size_t sentence);
  bool try_all(std::size_t sentence, Trial& best);
  void fit_amounts(ArcCue cue);
  void fit_shares();
  void refit_noise(ArcCue cue);
  // Of each column of a block, from its first on.
  using Added = std::array<double, ModelTakes::kMostMembers + 1>;
  Added added_by(const Choices& block, std::size_t choice, ArcCue cue) const;
  double chance(const Choices& block, std::size_t choice) const;
  const Choices& choices(BlockPlace at) const { return sentences_[at.sentence].blocks[at.block]; }
  bool is_allowed(const Choices& block, std::size_t choice) const {
    return !all_lead_ || choice != block.none();
  }

  std::vector<SentenceEvidence> sentences_;
  std::vector<State> states_;
  std::array<std::array<Amount, kJudgedLevels>, kCues> amounts_{};
  std::array<Noise, kCues> noise_{};
  std::array<double, kCues> likelihoods_{};  // of the residuals
  // By level: logarithms of how often blocks lead (or grow), do not, fall away.
  std::array<std::array<double, 3>, kJudgedLevels> shares_{};
  bool all_lead_ = false;  // in the first round of that start
};

// From either start, whichever comes to what is likelier.
Weighing weigh(const std::vector<SentenceEvidence>& sentences);

}  // namespace arsis
