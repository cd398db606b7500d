// The arcs in the levels of a take, sentence by sentence. Only the plan's blocks are used, not its
// mains: every member of a block is given the arc that the block would have if it led, and how deep
// each of them is, is fitted.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "plan/binding.h"
#include "take/heard.h"
#include "take/least_squares.h"

namespace arsis {

// A difference as heard, and how sure of it one can be.
struct Measured {
  double value = 0.0;  // in the unit of what was asked for
  double error = 0.0;  // its standard error, in the same unit
};

// The levels of the melody in one sentence, below the written dynamics, as
//   level = top - sum of depth times (1 - arc)
// over the motifs (one depth for all), over each member of each phrase, and over each phrase of the
// sentence. Notes inside a diminuendo in which no level may rise have no say.
// Source: nested arcs fitted level by level, Widmer & Tobudic 2003 (from memory); all at once and
// with one depth for each candidate is our choice.
class LevelArcs {
 public:
  // The most unknowns that are fitted; a sentence with more members has no level arcs.
  static constexpr std::size_t kMostUnknowns = 48;

  // `goals`: of each phrase of the sentence the motif whose goal is the phrase's (an index into
  // BoundPlan::motifs): its planned main, or the one that was heard to lead.
  LevelArcs(const BoundPlan& plan, const Heard& heard, const Block& sentence,
            const std::vector<std::uint32_t>& goals);

  // How much louder member a is against member b than if both led alike, in dB: half of what their
  // depths differ by, times what their arcs differ by over the block's notes. a and b are motifs of
  // one phrase (kPhrase) or phrases of the sentence (kSentence), as indices into the plan's. None:
  // too few notes.
  std::optional<Measured> louder(Level level, std::uint32_t a, std::uint32_t b) const;

  // How much a motif grows to its goal, in dB, beside what phrase and sentence do there. None: it
  // has too few notes.
  std::optional<Measured> growth(std::uint32_t motif) const;

  // Each note that had a say, and what the fitted arcs take from its level (at most 0 dB).
  struct Loss {
    std::uint32_t note = 0;  // index into Score::notes
    Decibels loss;
  };
  std::vector<Loss> losses() const;

 private:
  void add_columns(const std::vector<std::uint32_t>& goals);
  std::vector<double> column_of(Span span, Beats goal) const;
  bool says_enough(const Block& block, Level level) const;

  const BoundPlan& plan_;
  const Block& sentence_;
  std::vector<HeardNote> notes_;
  LinearProblem problem_;
  std::optional<LinearFit> fit_;
  std::vector<std::size_t> motif_columns_;   // of each motif of the sentence's phrases
  std::vector<std::size_t> phrase_columns_;  // of each phrase of the sentence
  std::uint32_t first_motif_ = 0;
};

}  // namespace arsis
