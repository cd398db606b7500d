// The readings of a block: the same plan with another member leading there. What is compared when
// a player cannot decide between two mains.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "plan/plan.h"

namespace arsis {

// A block of a plan that leads through one of its members. Indices count from 0.
struct LedBlock {
  Level level = Level::kPhrase;  // not kMotif: a motif always leads to its last interval
  std::size_t sentence = 0;      // index into Plan::sentences; of the piece unused
  std::size_t phrase = 0;        // index within that sentence; above a phrase unused

  friend bool operator==(const LedBlock&, const LedBlock&) = default;
};

struct Reading {
  std::optional<std::size_t> main;  // index of the member that leads; none: of a piece, no sentence
  std::string name;                 // "motif 2 leads": counted from 1 within the block
  bool is_own = false;              // what the plan itself says
};

// Whether the plan has that block.
bool has_block(const Plan& plan, const LedBlock& block);

// One reading for each member of the block, the plan's own first, the others in the order of the
// members; a block of a single member has one. A piece whose plan names no main sentence has a
// reading more, its own: "no sentence leads".
//   block  one that the plan has
std::vector<Reading> readings_of(const Plan& plan, const LedBlock& block);

// The plan in that reading; nothing else in it changes, so that it binds where `plan` does, with
// every block from and to the same moments.
//
// The phrases of a sentence that is `like:` another are the other's, and stay so: a reading of one
// is a reading of both, and of every other sentence that is like them. Which phrase leads a
// sentence is each sentence's own.
//   block    one that the plan has
//   reading  of readings_of() for that plan and block
Plan with_reading(Plan plan, const LedBlock& block, const Reading& reading);

}  // namespace arsis
