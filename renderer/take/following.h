// Follows a take through the score: at which moment of the score is the player, note after note?
// The first and coarse half of an alignment.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "take/moments.h"
#include "take/played.h"

namespace arsis {

// A played note that belongs to a moment of the score.
struct Step {
  std::uint32_t played = 0;  // index into the played notes
  std::uint32_t moment = 0;  // index into Moments::all
  bool jumped = false;       // the player went on here from somewhere else in the score
};

// The cheapest way through the score, by dynamic programming over the played notes. A way pays for
// notes too many, for notes left out, for notes far from where its own tempo expects them, and for
// jumps to another place of the score. Notes of a chord may come in any order and after the first
// notes of the next ones. Steps come in order of the played notes, those that fit nowhere are left
// out. Takes time in proportion to the played notes, and at most about 100 MB of memory.
//   played   by onset
// Source: the idea is that of score following by hidden Markov models (Nakamura, Yoshii & Katayose
// 2017); the costs are our own, fitted to disturbed takes of our own (tests/take).
std::vector<Step> follow(const Moments& moments, std::span<const PlayedNote> played);

}  // namespace arsis
