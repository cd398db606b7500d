// Well-known melodies with the beginnings of their lines, to hold drafts against.
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "plan/tuning.h"
#include "score/bars.h"

namespace arsis::test {

// All of them written in from memory; old tunes that belong to everybody. Their lines are those of
// the words, which nobody divides otherwise.
struct Melody {
  const char* name;
  TimeSignature signature;
  std::optional<Beats> pickup;
  const char* notes;  // as score_builder.h reads them
  // Which blocks the lines are, fixed before any drafting: of two or three bars phrases, of four
  // bars sentences.
  Level level;
  const char* starts;  // "0:4 2:4 ...": where the lines begin
  // Kept apart: never looked at while the rest was worked on.
  bool unseen = false;
};

std::span<const Melody> melodies();

}  // namespace arsis::test
