// Growth inside a written diminuendo: the arc level may not rise there, and the rise that is
// withheld from loudness is heard as time.
#pragma once

#include <span>
#include <vector>

#include "plan/binding.h"
#include "shape/ceiling.h"
#include "shape/layers.h"

namespace arsis {

// What one dynamic line withholds, moment by moment.
class Withheld {
 public:
  struct Sample {
    Beats at;
    Decibels rise;  // arc level less its running minimum since the hairpin began; >= 0
  };
  // Samples in order of time, of two at one moment the second for the moment itself; between two of
  // them the rise is interpolated, outside them all it is 0.
  explicit Withheld(std::vector<Sample> samples) : samples_(std::move(samples)) {}
  Withheld() = default;

  Decibels at(Beats moment) const;
  bool empty() const { return samples_.empty(); }
  std::span<const Sample> samples() const { return samples_; }

 private:
  std::vector<Sample> samples_;
};

// `moments`, in order, are where the level is asked for (onsets) and where it may turn (edges and
// goals of blocks, a fine grid): the running minimum is taken over those within each diminuendo,
// both its ends included. Of two that meet the second goes on with the first's minimum, unless it
// begins at a louder mark; one whose end has a louder mark leaves the note there to it. Where the
// tuning says `swell` nothing is withheld.
Withheld withhold(const BoundPlan& plan, const DynamicLine& line, const Ceiling& ceiling,
                  std::span<const Beats> moments, const Layers& layers);

}  // namespace arsis
