// Whether a take keeps the written dynamics in order: a forte louder than a piano, hairpins the way
// they go, no swelling inside a diminuendo.
#pragma once

#include <optional>
#include <vector>

#include "plan/binding.h"
#include "score/score.h"
#include "take/heard.h"
#include "take/leads.h"

namespace arsis {

// From one written level to the next.
struct DynamicChange {
  std::uint32_t line = 0;  // index into BoundPlan::dynamics
  Beats at;                // where the second holds from
  int from_step = 0;       // steps from mf, as dynamic_step() counts
  int to_step = 0;
  Verdict verdict = Verdict::kCannotTell;  // otherwise: the change goes the other way
  Decibels heard;                          // without the arcs; above 0: louder
};

struct HairpinHeard {
  std::uint32_t line = 0;
  Span span;
  bool falls = false;
  Verdict verdict = Verdict::kCannotTell;  // otherwise: it goes the other way, or swells
  Decibels heard;                          // from its begin to its end, without the arcs
  // Inside a diminuendo that should not swell: the greatest rise in it, and where that is reached.
  std::optional<Decibels> swell;
  Beats swells_at;
};

struct DynamicsHeard {
  std::vector<DynamicChange> changes;  // by line, then time
  std::vector<HairpinHeard> hairpins;  // likewise
};

// `losses`: what the arcs that were heard take from notes of the melody, of all sentences, by note.
DynamicsHeard hear_dynamics(const Score& score, const BoundPlan& plan, const Heard& heard,
                            const std::vector<Loss>& losses);

}  // namespace arsis
