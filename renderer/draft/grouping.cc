#include "draft/grouping.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "draft/best_sentences.h"
#include "draft/boundaries.h"
#include "draft/cell.h"
#include "draft/parallels.h"
#include "draft/phrase_words.h"

namespace arsis {
namespace {

constexpr const GroupingWeights& kWeights = kGroupingWeights;

// What grouping asks of a piece in a given cell.
struct Ground {
  Ground(const BoundarySurvey& survey, const CellGrid& grid)
      : parallels(survey.line, grid.edges), cells(grid.cells()) {
    double clear = 0.0;
    for (std::size_t i = 0; i < cells; ++i) {
      // The first beginning is no boundary.
      const double above =
          i == 0 ? 0.0 : strength(cues_at(survey, grid.edges[i], grid.upbeat)) - survey.usual;
      boundary.push_back(above);
      motifs += kWeights.motif * above;
      if (above <= 0.0) continue;
      parting += above;
      clear += 1.0;
    }
    if (clear > 0.0) parting /= clear;
  }

  Parallels parallels;
  std::size_t cells;
  std::vector<double> boundary;  // of each cell's beginning, less what is usual at a note
  double motifs = 0.0;           // what the cell is worth with any structure
  double parting = 0.0;          // mean of those above 0: how clearly phrases part in this piece
};

double worth_alone(const Ground& ground, std::size_t first, const SentenceShape& shape) {
  double worth = 0.0;
  std::size_t begin = first;
  for (std::size_t i = 0; i < shape.phrases; ++i) {
    const std::size_t motifs = shape.motifs[i];
    if (motifs == 3) worth -= kWeights.three_motifs;
    if (motifs == 1) worth -= kWeights.lone_motif;
    if (i > 0) {
      const std::size_t before = shape.motifs[i - 1];
      worth += (kWeights.phrase - kWeights.motif) * ground.boundary[begin];
      if (motifs == before) {
        worth += kWeights.parallel_phrases * ground.parallels.block(begin, motifs, motifs);
      } else if (motifs != 1) {
        worth -= kWeights.uneven_phrases;
      }
    }
    begin += motifs;
  }
  if (shape.phrases == 1 && shape.motifs[0] != 1) worth -= kWeights.lone_phrase;
  if (shape.phrases == 3) worth -= kWeights.three_phrases;
  if (first == 0) return worth;
  worth += (kWeights.phrase - kWeights.motif) * ground.boundary[first];
  worth += (kWeights.sentence - kWeights.phrase) * (ground.boundary[first] - ground.parting);
  return worth + kWeights.returns * ground.parallels.opening(first);
}

double worth_after(const Ground& ground, std::size_t first, const SentenceShape& before,
                   const SentenceShape& shape) {
  double worth = 0.0;
  const std::size_t shorter = std::min(before.motifs[0], shape.motifs[0]);
  worth += kWeights.parallel_openings * ground.parallels.block(first, shorter, before.cells);
  if (before == shape) {
    worth += kWeights.parallel_sentences * ground.parallels.block(first, shape.cells, before.cells);
  } else {
    worth -= before.cells == shape.cells ? kWeights.uneven_shapes : kWeights.uneven_sentences;
  }
  return worth;
}

Structure structure_of(const CellGrid& grid, const Tiling& tiling) {
  Structure structure;
  structure.cell = grid.cell;
  for (std::size_t i = 0; i < grid.cells(); ++i) {
    structure.motifs.push_back({grid.edges[i], grid.edges[i + 1]});
  }
  std::uint32_t motif = 0;
  for (const SentenceShape& shape : tiling.sentences) {
    structure.sentences.push_back(static_cast<std::uint32_t>(structure.phrases.size()));
    for (const std::uint8_t motifs : shape.each()) {
      structure.phrases.push_back(motif);
      motif += motifs;
    }
  }
  return structure;
}

// A structure, and the ground that it was found on.
struct Found {
  double total = 0.0;
  std::size_t choice = 0;
  Tiling tiling;
};

std::vector<Found> find_best(const BoundarySurvey& survey, const std::vector<CellChoice>& choices,
                             std::size_t count) {
  std::vector<Found> found;
  for (std::size_t i = 0; i < choices.size(); ++i) {
    const CellGrid& grid = choices[i].grid;
    const Ground ground(survey, grid);
    SentenceWorth worth;
    worth.alone = [&](std::size_t first, const SentenceShape& shape) {
      return worth_alone(ground, first, shape);
    };
    worth.after = [&](std::size_t first, const SentenceShape& before, const SentenceShape& shape) {
      return worth_after(ground, first, before, shape);
    };
    for (Tiling& tiling : best_sentences(grid.cells(), worth, count)) {
      const double total = tiling.total + ground.motifs + choices[i].bonus;
      found.push_back({total, i, std::move(tiling)});
    }
  }
  std::ranges::stable_sort(found, std::greater<>{}, &Found::total);
  if (found.size() > count) found.resize(count);
  return found;
}

std::vector<CellChoice> choices_of(const Material& material, const StructureWishes& wishes,
                                   const BoundarySurvey& survey) {
  if (!wishes.cell) return likely_cells(material, survey);
  CellChoice choice;
  choice.grid = grid_from(material.score, *wishes.cell);
  if (choice.grid.cells() == 0) return {};
  return {std::move(choice)};
}

}  // namespace

std::vector<ScoredStructure> structures(const Material& material, const StructureWishes& wishes) {
  const std::size_t count = std::clamp<std::size_t>(wishes.count, 1, kMostStructures);
  const BoundarySurvey survey = survey_boundaries(material);
  if (survey.line.empty()) return {};
  const std::vector<CellChoice> choices = choices_of(material, wishes, survey);
  std::vector<ScoredStructure> result;
  for (Found& found : find_best(survey, choices, count)) {
    const CellChoice& choice = choices[found.choice];
    ScoredStructure scored;
    scored.structure = structure_of(choice.grid, found.tiling);
    scored.total = found.total;
    scored.cell_words = choice.words;
    scored.phrase_words =
        phrase_words(material.score, survey, choice.grid.upbeat, scored.structure);
    if (!result.empty()) {
      scored.instead = words_instead(material.score, scored.structure, scored.phrase_words,
                                     result.front().structure);
    }
    result.push_back(std::move(scored));
  }
  return result;
}

}  // namespace arsis
