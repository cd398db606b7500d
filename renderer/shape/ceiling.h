// The ceiling: the level that the written dynamics allow, at every moment.
#pragma once

#include <vector>

#include "plan/binding.h"

namespace arsis {

// The ceiling of one dynamic line.
class Ceiling {
 public:
  // Marks are levels of the tuning's steps; hairpins run linearly in dB between theirs. Before the
  // first stretch the ceiling is mf, or where a hairpin comes first, what it begins with.
  Ceiling(const DynamicLine& line, const Tuning& tuning);

  // At most 0 dB. At a hairpin's end the level is that of the mark it ends on.
  Decibels at(Beats moment) const;

 private:
  struct Stretch {
    Beats from;
    Beats to;
    Decibels begin;
    Decibels end;
  };
  std::vector<Stretch> stretches_;
  Decibels before_;
};

// What stops a note at `onset`: its line's ceiling, or its own written velocity where the plan has
// no dynamics.
Decibels ceiling_of(const Note& note, const DynamicLine& line, const Ceiling& ceiling);

}  // namespace arsis
