// What of a plan was audible in a take, block by block. A pure function; words for it are in
// tool/take_text.
#pragma once

#include <optional>
#include <vector>

#include "plan/binding.h"
#include "score/score.h"
#include "shape/instrument.h"
#include "take/alignment.h"
#include "take/block_ends.h"
#include "take/dynamics_heard.h"
#include "take/leads.h"
#include "take/played.h"
#include "take/touch_heard.h"

namespace arsis {

struct Comparison {
  // By the plan's sentences, phrases and motifs, one for each; all that was played is judged, by
  // the pairs of the alignment: what was played again by its last time.
  std::vector<Lead> sentences;
  std::vector<Lead> phrases;
  std::vector<Growth> motifs;
  std::optional<Lead> piece;   // which sentence leads it, where the plan names one
  std::vector<BlockEnd> ends;  // of each phrase
  DynamicsHeard dynamics;
  TempoHeard tempo;
  std::vector<BalanceHeard> balance;    // of each part without the melody's role
  std::vector<EvennessHeard> evenness;  // of each part
  bool melody_played = false;           // without it no level is judged
};

// How many of each verdict.
struct Tally {
  std::size_t as_planned = 0, otherwise = 0, not_audible = 0, cannot_tell = 0;
  std::size_t judged() const { return as_planned + otherwise + not_audible; }
};
template <class Row>
Tally tally_of(const std::vector<Row>& rows) {
  Tally tally;
  for (const Row& row : rows) {
    tally.as_planned += row.verdict == Verdict::kAsPlanned;
    tally.otherwise += row.verdict == Verdict::kOtherwise;
    tally.not_audible += row.verdict == Verdict::kNotAudible;
    tally.cannot_tell += row.verdict == Verdict::kCannotTell;
  }
  return tally;
}

// Said is only what the model's own readings differ by audibly. Notes dropped, wrong and added (3 %
// each) and tempos from half to double change no verdict; velocities up to 3 units off or onsets 10
// ms off change one in a hundred, both with the former four in a hundred, and only to what is not
// audible (tests/take/disturbed_comparison_test.cc; the table is in DEVELOPERS.md). `plan` is bound
// to this very score, `alignment` is the take's to it. Levels of the take's velocities follow the
// law, or the instrument's tables.
Comparison compare(const Score& score, const BoundPlan& plan, const Take& take,
                   const Alignment& alignment, const Instrument& instrument = {});

}  // namespace arsis
