// Which member of a block was heard to lead, whether it is the planned one, and whether a listener
// can hear it at all.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "plan/binding.h"
#include "score/audible.h"
#include "score/score.h"
#include "take/level_arcs.h"
#include "take/lingers.h"

namespace arsis {

enum class Verdict : std::uint8_t {
  kAsPlanned,
  kOtherwise,
  kNotAudible,  // nobody could hear it, or the notes contradict one another too much to say
  kCannotTell,  // too few notes were played there
};

// What is asked of level and time at once: both counted in steps that can just be noticed, and
// added up, as cues to one thing.
struct Audible {
  std::optional<Decibels> level;
  std::optional<double> time;  // a share of the interval: 0.04 is 4 % longer
  double steps = 0.0;          // of both together
  double error = 0.0;          // standard error, in steps

  bool is_known() const { return level || time; }
  // Over one step, and over twice its error.
  bool is_audible() const;
};

// `interval`: the one that `time` is a share of. What is uncertain by more than a step is left out.
Audible together(const std::optional<Measured>& level, const std::optional<Measured>& time,
                 Seconds interval);

// Of a phrase or a sentence.
struct Lead {
  Verdict verdict = Verdict::kCannotTell;
  std::uint32_t planned = 0;  // index of the main member in the next lower level
  std::uint32_t heard = 0;    // of the one that stood out most, if by ever so little
  // Of the planned one, the member that comes next to it; otherwise the planned one.
  std::uint32_t against = 0;
  // How much `heard` leads against `against`, each less what it would be if both led alike.
  Audible by{};
};

// Of a motif: whether it grew to its last interval, in level or in breadth.
struct Growth {
  Verdict verdict = Verdict::kCannotTell;  // otherwise: it fell away from it
  Audible by{};
};

// What was heard of one sentence and all in it.
struct SentenceHeard {
  Lead lead;
  std::vector<Lead> phrases;   // of the sentence, in order
  std::vector<Growth> motifs;  // of its phrases, in order
  std::vector<LevelArcs::Loss> losses;
  std::optional<double> pace;  // played seconds for a written one
};

SentenceHeard hear_sentence(const Score& score, const BoundPlan& plan, const Heard& heard,
                            std::size_t sentence);

}  // namespace arsis
