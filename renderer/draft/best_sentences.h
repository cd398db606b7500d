// The best ways to make sentences of a row of cells: exact dynamic programming over the whole
// piece.
#pragma once

#include <cstddef>
#include <functional>
#include <vector>

#include "draft/sentence_shape.h"

namespace arsis {

// What a sentence is worth, as ratios; higher is better. Pure functions, asked for each place once.
struct SentenceWorth {
  // Of a sentence of that shape that begins with cell `first`, by itself.
  std::function<double(std::size_t first, const SentenceShape&)> alone;
  // What is added where it follows another; `first` is where it begins.
  std::function<double(std::size_t first, const SentenceShape& before, const SentenceShape&)> after;
};

struct Tiling {
  double total = 0.0;
  std::vector<SentenceShape> sentences;  // in order, all cells
};

// At most `count` tilings of `cells` cells, no two alike, the best first; of equal ones the order
// is always the same. Time grows as cells times count, memory by 28 bytes times both. Empty where
// there is no cell.
std::vector<Tiling> best_sentences(std::size_t cells, const SentenceWorth& worth,
                                   std::size_t count);

}  // namespace arsis
