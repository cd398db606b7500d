// What a take made of the written notes: levels against the written dynamics, and when each moment
// sounded. What every judgement of a comparison begins with.
#pragma once

#include <algorithm>
#include <cstdint>
#include <span>
#include <vector>

#include "plan/binding.h"
#include "score/score.h"
#include "shape/instrument.h"
#include "take/alignment.h"
#include "take/played.h"

namespace arsis {

// A written note that was played.
struct HeardNote {
  std::uint32_t note = 0;    // index into Score::notes
  std::uint32_t played = 0;  // index into Take::notes
  Beats at;                  // its written onset
  Decibels level;            // as played, by the law or the instrument's table
  double error = 1.0;        // how much the level errs, against one of velocity 64
  Decibels ceiling;          // as written: dynamics, and the lift of a written accent
  bool held_down = false;    // inside a diminuendo whose rises the plan wants broadened, not louder

  Decibels below() const { return level - ceiling; }
};

// When the notes of one written moment sounded: the melody's note, or where it has none there, the
// middle one of the others.
struct HeardMoment {
  Beats at;
  Seconds written;            // by the score's tempos
  Seconds onset;              // as played
  std::uint32_t stretch = 0;  // index into Alignment::stretches
  bool leads = false;         // it is the melody's note that was heard
};

struct Heard {
  std::vector<HeardNote> melody;     // of BoundPlan::melody, by onset
  std::vector<HeardNote> others;     // all others, by onset
  std::vector<HeardMoment> moments;  // by `at`
};

Heard hear(const Score& score, const BoundPlan& plan, const Take& take, const Alignment& alignment,
           const Instrument& instrument);

// Those of a row sorted by `at` that lie within the span.
template <class Row>
std::span<const Row> within(const std::vector<Row>& rows, Span span) {
  const auto first = std::ranges::lower_bound(rows, span.begin, {}, &Row::at);
  const auto last = std::ranges::lower_bound(rows, span.end, {}, &Row::at);
  if (last <= first) return {};
  return {first, last};
}

}  // namespace arsis
