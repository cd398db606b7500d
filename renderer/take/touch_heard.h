// What a take has beside the plan's blocks: tempo, balance of the hands, evenness.
#pragma once

#include <optional>
#include <vector>

#include "plan/binding.h"
#include "score/score.h"
#include "take/heard.h"
#include "take/leads.h"

namespace arsis {

struct TempoHeard {
  Verdict verdict = Verdict::kCannotTell;  // as planned: it holds, or sways; otherwise: it drifts
  std::optional<double> speed;  // ratio to the score's tempo, the middle of all sentences
  std::optional<double> drift;  // share of the speed from the first to the last sentence; above 0:
                                // faster
};

// `paces`: of each sentence, as pace_of() has it.
TempoHeard hear_tempo(const std::vector<std::optional<double>>& paces);

// A part against the melody where both strike at once.
struct BalanceHeard {
  std::uint16_t part = 0;                  // index into Score::parts
  Verdict verdict = Verdict::kCannotTell;  // as planned: the melody is over it (or not, where the
                                           // plan has them alike); otherwise: it covers the melody
  Decibels planned;                        // level of the melody over the part
  std::optional<Decibels> heard;
  std::optional<Seconds> lead;  // how much the melody sounds before it; below 0: after it
};

std::vector<BalanceHeard> hear_balance(const Score& score, const BoundPlan& plan, const Take& take,
                                       const Heard& heard);

// Of a part's notes of one length, four in a row, so that a steady change of tempo is no
// unevenness.
struct EvennessHeard {
  std::uint16_t part = 0;
  Verdict verdict = Verdict::kCannotTell;  // as planned: no unevenness of time can be heard
  std::size_t intervals = 0;               // that were judged
  std::optional<Seconds> time;  // by how much an interval differs from the mean of its neighbours:
                                // the middle one of all differences
  std::optional<double> share;  // the same as a share of the interval
  std::optional<Decibels> level;  // by how much a note differs from the middle of its neighbours
};

std::vector<EvennessHeard> hear_evenness(const Score& score, const BoundPlan& plan,
                                         const Take& take, const Heard& heard);

}  // namespace arsis
