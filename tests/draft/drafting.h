// Scores made ready for drafting: read, with their parts bound, nothing printed unless it is said.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "draft/grouping.h"
#include "plan/binding.h"
#include "score/melody.h"
#include "score/score.h"
#include "score_builder.h"

namespace arsis::test {

// A piece and what drafting reads of it. The first part is the melody.
struct Piece {
  explicit Piece(Score of) : score(std::move(of)) {
    std::vector<bool> melody(score.parts.size());
    for (std::size_t i = 0; i < score.parts.size(); ++i) {
      BoundPart part;
      part.name = score.parts[i].name;
      part.role = i == 0 ? Role::kMelody : Role::kAccompaniment;
      bound.parts.push_back(part);
      melody[i] = i == 0;
    }
    bound.tunings.emplace_back();
    bound.dynamics.emplace_back();
    bound.melody = melody_line(score, melody);
  }
  Material material() const { return {score, bound, printed}; }

  Score score;
  BoundPlan bound;
  Printed printed;
};

// Where the blocks of a level begin, as "0:4 2:4 ...".
inline std::string starts_of(const Structure& structure, Level level, const Score& score) {
  std::string text;
  const auto say = [&](Beats at) {
    text += (text.empty() ? "" : " ") + to_string(score.bars.position_of(at));
  };
  if (level == Level::kMotif) {
    for (const Span& motif : structure.motifs) say(motif.begin);
  } else if (level == Level::kPhrase) {
    for (const std::uint32_t motif : structure.phrases) say(structure.motifs[motif].begin);
  } else {
    for (const std::uint32_t phrase : structure.sentences) {
      say(structure.motifs[structure.phrases[phrase]].begin);
    }
  }
  return text;
}

}  // namespace arsis::test
