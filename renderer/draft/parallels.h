// How alike two cells of a melody are, in rhythm, contour and pitch.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "draft/boundary_models.h"

namespace arsis {

// Ratios 0..1. Two cells without a note's beginning are alike in everything.
struct Likeness {
  double rhythm = 0.0;   // notes that begin at the same places, among all notes
  double contour = 0.0;  // steps between these that have the same size within a semitone (1), or
                         // only the same direction (a half)
  double pitch = 0.0;    // notes, among those at the same places, that are the same
  // Rhythm counts most; a literal return more than a transposed one.
  double total() const { return 0.5 * rhythm + rhythm * (0.3 * contour + 0.2 * pitch); }
};
Likeness likeness(std::span<const LineNote> line, Span one, Span other);

// Cells of a piece against those before them.
class Parallels {
 public:
  static constexpr std::size_t kMostLag = 9;  // cells: three phrases of three

  // `edges` are where cells begin, and where the last one ends.
  Parallels(std::span<const LineNote> line, std::span<const Beats> edges);

  // How alike `count` cells from `first` on are to those `lag` cells before, less the mean over the
  // piece: about -1..1; the first cell counts most. 0 where there are none so far before.
  //   count 1..kMostLag, lag 1..kMostLag
  double block(std::size_t first, std::size_t count, std::size_t lag) const;
  // How alike two cells from `first` on are to the piece's first two, less that mean; 0 for the
  // first.
  double opening(std::size_t first) const;
  double mean() const { return mean_; }

 private:
  double at(std::size_t cell, std::size_t lag) const { return alike_[cell * kMostLag + lag - 1]; }

  std::vector<double> alike_;    // of each cell with those 1..kMostLag before it
  std::vector<double> opening_;  // of each cell with the first and with the second
  std::size_t cells_ = 0;
  double mean_ = 0.0;
};

}  // namespace arsis
