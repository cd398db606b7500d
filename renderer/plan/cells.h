// The even cell: where one motif after another begins when all are of one length.
#pragma once

#include "plan/plan.h"
#include "score/bars.h"

namespace arsis {

// Cells of `length` from a moment on. Measured in bars, every cell keeps its distance to the bar
// line that it crosses, whatever the time signature does: an upbeat stays an upbeat. Measured in
// beats, cells are of the same number of beats of the signature in force.
class Cells {
 public:
  Cells(const Bars& bars, WrittenLength length, Beats from);

  // The end of the cell that begins at `begin`, which is a cell's beginning or any other moment:
  // then the cells go on from there. Past the last bar, bars of its length are imagined.
  Beats end_of(Beats begin);

 private:
  void anchor(Beats at);
  Beats boundary(double coordinate) const;
  Beats bar_boundary(std::ptrdiff_t bar) const;

  const Bars* bars_;
  WrittenLength length_;
  Beats anchor_;        // where the cells were last set
  Beats upbeat_;        // from a cell's beginning to the next bar line; 0: cells begin on bar lines
  double first_ = 0.0;  // the anchor as a coordinate: whole numbers are the bars' own boundaries
  double passed_ = 0.0;  // cells since the anchor
  Beats next_;           // the beginning of the next cell
};

}  // namespace arsis
