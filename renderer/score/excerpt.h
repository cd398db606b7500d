// A stretch of a performance as a score and a performance of their own: some bars, some parts, with
// bars counted in and a click. Whatever writes, sounds or plays a performance takes an excerpt as
// well.
#pragma once

#include <vector>

#include "score/performance.h"
#include "score/score.h"

namespace arsis {

struct ExcerptRequest {
  Span span;                        // of the score, not empty
  std::vector<Hearing> parts = {};  // one for each of Score::parts; empty: all are heard
  int count_in = 0;                 // bars counted in before, 0..kMostCountIn
  bool click = false;               // on every beat, bent as the performance bends it

  static constexpr int kMostCountIn = 8;
};

struct Excerpt {
  Score score;
  Performance performance;
  Beats moved;  // added to a moment of the whole score gives that of the excerpt
  Beats entry;  // where the span begins in the excerpt, after what is counted in
};

// Notes belong to it that begin in the span; one that is written to last beyond the span's end is
// cut there. What the score has set before (chased()) comes first. The excerpt's bars fall as the
// score's do: one that begins within a bar begins with a pickup, and what is counted in is whole
// bars and then the beats of the entering bar up to the entry, at the score's tempo there.
//
// Parts that are left out are gone, with the tracks and channel messages that only they need;
// `performance` must have been made for the same hearing of parts. The click is a part of its own,
// the last (add_click()).
Excerpt excerpt_of(const Score& score, const Performance& performance,
                   const ExcerptRequest& request);

}  // namespace arsis
