// Where a take lingers, sentence by sentence: how much time it takes at the goal of each motif,
// beside the slow changes of its tempo.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "plan/binding.h"
#include "score/score.h"
#include "take/heard.h"
#include "take/least_squares.h"
#include "take/level_arcs.h"

namespace arsis {

// The moments of one sentence, in seconds, as a tempo that changes smoothly within each phrase (a
// parabola), and at each motif's goal a share of lengthening that fades over a beat on either side.
// A fermata may last what it will; what sounds in the closing ritardando has no say.
class Lingers {
 public:
  Lingers(const Score& score, const BoundPlan& plan, const Heard& heard, const Block& sentence);

  // How much longer the time at a motif's goal is than the tempo around it has it, as a share: 0.04
  // is 4 %. None: too few notes around it.
  std::optional<Measured> at(std::uint32_t motif) const;
  // The same at one goal less that at another.
  std::optional<Measured> longer(std::uint32_t a, std::uint32_t b) const;

  // Length of a beat of the signature at a motif's goal as played, in this sentence's mean tempo.
  Seconds beat_at(std::uint32_t motif) const;
  // Played seconds for each written one, over the sentence; none: too few notes.
  std::optional<double> pace() const { return pace_; }

 private:
  static constexpr std::size_t kNone = static_cast<std::size_t>(-1);
  void add_phrases();
  void add_goals();
  void add_fermatas();
  std::size_t column(std::uint32_t motif) const;

  const Score& score_;
  const BoundPlan& plan_;
  const Block& sentence_;
  std::vector<HeardMoment> moments_;
  std::optional<double> pace_;
  LinearProblem problem_;
  std::optional<LinearFit> fit_;
  std::uint32_t first_motif_ = 0;
  std::vector<std::size_t> columns_;  // of each motif of the sentence; kNone: it cannot be told
};

}  // namespace arsis
