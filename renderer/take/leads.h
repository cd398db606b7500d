// Which member of a block was heard to lead, whether it is the planned one, and whether a listener
// can hear it at all.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "plan/binding.h"
#include "score/audible.h"
#include "score/score.h"
#include "take/heard.h"

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

// Logarithms of how much likelier than all else a choice must be to be called as planned, or
// otherwise: a teacher blames less readily than he praises.
// Source: Kass & Raftery 1995 (from memory): from 3 on positive, from 150 on very strong evidence.
inline constexpr double kEnoughToPraise = 1.0986;  // log 3
inline constexpr double kEnoughToBlame = 5.0106;   // log 150

// Of a phrase, a sentence or the piece.
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

// What the arcs that were heard take from the level of a note of the melody.
struct Loss {
  std::uint32_t note = 0;  // index into Score::notes
  Decibels loss;           // at most 0
};

struct LeadsHeard {
  std::vector<Lead> sentences;  // by the plan's blocks, one for each
  std::vector<Lead> phrases;
  std::vector<Growth> motifs;
  std::vector<Loss> losses;  // by note
};

LeadsHeard hear_leads(const Score& score, const BoundPlan& plan, const Heard& heard);

}  // namespace arsis
