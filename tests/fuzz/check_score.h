// What every reader of scores promises of its score.
#pragma once

#include <cstdlib>
#include <map>
#include <tuple>

#include "score/score.h"

namespace arsis::fuzz {

inline void demand(bool holds) {
  if (!holds) std::abort();
}

// Notes in order and with length, no two of one key of a part at once; bars one after another;
// messages that have bytes and a track.
inline void check_score(const Score& score) {
  std::map<std::tuple<int, int>, Beats> ends;
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    const Note& note = score.notes[i];
    demand(note.part < score.parts.size() && note.end > note.onset);
    demand(i == 0 || score.notes[i - 1].onset <= note.onset);
    Beats& end = ends[{note.part, note.key}];
    demand(end <= note.onset);
    end = note.end;
  }
  for (std::size_t i = 1; i < score.bars.all().size(); ++i) {
    demand(score.bars.all()[i - 1].span.end == score.bars.all()[i].span.begin);
  }
  for (const Part& part : score.parts) demand(part.track < score.tracks.size());
  for (const Message& message : score.messages) {
    demand(message.track < score.tracks.size() && !score.bytes_of(message).empty());
  }
}

}  // namespace arsis::fuzz
