// What the model makes of a plan, of every other choice of its leading members, and of no choice at
// all: what a take is held against.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "plan/binding.h"
#include "score/score.h"
#include "score/time_map.h"

namespace arsis {

// Motifs, phrases and sentences: the levels with blocks in which something leads.
inline constexpr std::size_t kJudgedLevels = 3;
inline constexpr std::array<Level, kJudgedLevels> kEveryJudgedLevel = {
    Level::kMotif, Level::kPhrase, Level::kSentence};

// What each block does. Of a phrase or sentence: which member leads (counted from 0 within it); of
// a motif: 0, it grows. kNone: it has no arc.
struct Leaders {
  static constexpr std::uint32_t kNone = 0xffffffff;

  // By Level up to the sentence, then by block.
  std::array<std::vector<std::uint32_t>, kJudgedLevels> leads;

  friend bool operator==(const Leaders&, const Leaders&) = default;
};
Leaders leaders_of(const BoundPlan& plan);
// The plan with these mains, and the goals that follow from them; blocks without an arc have the
// plan's mains.
BoundPlan with_leaders(const BoundPlan& plan, const Leaders& leaders);

// How the model would play it.
struct ModelTake {
  std::vector<Decibels> levels;  // of each note, before it is rounded to a velocity
  TimeMap time;                  // without the melody's lead
};

struct ModelTakes {
  static constexpr std::uint32_t kMostMembers = 8;  // of a block that is judged; plans have 2 or 3

  ModelTake base;
  // By Level, then k: every block of the level led by its k-th member; those with fewer members as
  // in the base.
  std::array<std::vector<ModelTake>, kJudgedLevels> led;
  // The same of phrases, but the sentences keep their goals, whatever their main phrases do.
  std::vector<ModelTake> led_within;
  std::array<ModelTake, kJudgedLevels> without;  // by Level: with no arc of that level
  ModelTake flat;                                // without all three: the written dynamics
  // The base and the flat one, but for the closing ritardando.
  TimeMap not_closing;
  TimeMap flat_not_closing;

  // The block, of the base, led by its k-th member: a phrase moves the goal of its sentence if it
  // is the main one.
  const ModelTake& led_by(Level level, const Block& block, std::size_t k) const {
    const bool within = level == Level::kPhrase && !block.is_main;
    return within ? led_within[k] : led[index_of(level)][k];
  }
};

// `plan` is bound to this very score. Takes the time of about a dozen performances.
ModelTakes model_takes_of(const Score& score, const BoundPlan& plan, const Leaders& base);

}  // namespace arsis
