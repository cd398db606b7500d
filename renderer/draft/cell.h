// The even cell of a piece: how long its motifs are, and how far before the bar line they begin.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "draft/boundaries.h"
#include "draft/structure.h"
#include "plan/plan.h"

namespace arsis {

// A cell laid over a piece.
struct CellGrid {
  Cell cell;
  WrittenLength length;  // the cell's, as a plan has it
  Beats upbeat;          // from a cell's beginning to the bar line, or the middle of a bar, that it
                         // leads to; 0: it begins there
  std::vector<Beats> edges;  // where cells begin, and where the last one ends; empty without notes
  std::size_t cells() const { return edges.empty() ? 0 : edges.size() - 1; }
};

// The length as a plan writes it: a half or a whole number of bars where it is one of the signature
// in force at `cell.from`, else beats.
WrittenLength written_length(const Bars& bars, const Cell& cell);

// How long even cells around `at` are, whatever irregular bars make of them.
Beats usual_length(const Bars& bars, WrittenLength length, Beats at);

// Cells from `cell.from` to the last note, as plan/cells.h counts them. A cell of less than half
// its usual length (a bar cut short, an afterbeat) is joined to the one before, or, the first, to
// the next. A last cell that reaches past the last bar ends with it. Notes before `cell.from` are
// in no cell.
CellGrid grid_from(const Score& score, const Cell& cell);

// Cells of `length` that begin `upbeat` before the bar line, over the whole piece: where the first
// note begins elsewhere, the first cell begins with it and is longer or shorter than the rest. It
// may begin with a rest of up to half its length. `upbeat` lies below the length.
CellGrid grid_over(const Score& score, WrittenLength length, Beats upbeat);

struct CellChoice {
  CellGrid grid;
  double score = 0.0;  // ratio: mean strength of its cells' beginnings, and its bonus for each cell
  double bonus = 0.0;  // ratio: what the piece's own beginning says for it
  std::string words;   // "1 beat before the bar line: as the piece begins, ..."
};

// The likely cells of the piece, the likeliest first: one length, at most `most` places in the bar.
// A bar, unless it holds so many notes that its half is the motif, or so few that it takes two. The
// places are those where the melody parts most clearly, where the first note lies, and the bar line
// itself. Empty where there is no melody.
std::vector<CellChoice> likely_cells(const Material& material, const BoundarySurvey& survey,
                                     std::size_t most = 4);

}  // namespace arsis
