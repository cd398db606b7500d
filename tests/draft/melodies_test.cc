// Drafts of well-known melodies against the beginnings of their lines, beside two plain rules.
#include "draft/melodies.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "draft/boundary_models.h"
#include "draft/drafting.h"

namespace arsis {
namespace {

using test::melodies;
using test::Melody;
using test::Piece;

// Beginnings as the first note that follows: whether a rest belongs to what ends or to what begins
// is not told apart.
using Starts = std::set<std::size_t>;

std::size_t note_from(const Score& score, Beats at) {
  const auto note = std::ranges::lower_bound(score.notes, at - Beats{1e-6}, {}, &Note::onset);
  return static_cast<std::size_t>(note - score.notes.begin());
}

Piece piece_of(const Melody& melody) {
  return Piece(test::score_of(melody.notes, melody.signature, melody.pickup));
}

Starts lines_of(const Melody& melody, const Score& score) {
  Starts starts;
  std::istringstream words(melody.starts);
  for (std::string word; words >> word;) {
    const std::size_t colon = word.find(':');
    const Position position{std::stoi(word.substr(0, colon)), std::stod(word.substr(colon + 1))};
    starts.insert(note_from(score, *score.bars.moment_of(position)));
  }
  return starts;
}

Starts drafted(const Melody& melody, const Piece& piece) {
  const std::vector<ScoredStructure> found = structures(piece.material(), {});
  if (found.empty()) return {};
  const Structure& structure = found.front().structure;
  Starts starts;
  const auto add = [&](std::uint32_t motif) {
    starts.insert(note_from(piece.score, structure.motifs[motif].begin));
  };
  if (melody.level == Level::kPhrase) {
    for (const std::uint32_t motif : structure.phrases) add(motif);
  } else {
    for (const std::uint32_t phrase : structure.sentences) add(structure.phrases[phrase]);
  }
  return starts;
}

// The rule "every two bars from the pickup", or another number of bars.
Starts every(const Score& score, int bars) {
  Starts starts;
  const Beats length = score.bars.all().back().signature.bar_length() * bars;
  for (Beats at = score.notes.front().onset; at < score.end(); at += length) {
    const std::size_t note = note_from(score, at);
    if (note < score.notes.size()) starts.insert(note);
  }
  return starts;
}

// The rule that a line begins where the published local boundary strength reaches a threshold.
Starts over_threshold(const Score& score, double threshold) {
  std::vector<LineNote> line;
  for (const Note& note : score.notes) line.push_back({note.onset, note.end, note.key});
  const std::vector<double> strengths = local_boundaries(line);
  Starts starts = {0};
  for (std::size_t i = 0; i < strengths.size(); ++i) {
    if (strengths[i] >= threshold) starts.insert(i + 1);
  }
  return starts;
}

// Beginnings found against those that there are, the first of the piece left out: every rule has
// it.
struct Tally {
  int found = 0;
  int wrong = 0;
  int missed = 0;
  void add(const Starts& starts, const Starts& lines) {
    for (const std::size_t start : starts) {
      if (start == 0) continue;
      ++(lines.contains(start) ? found : wrong);
    }
    for (const std::size_t line : lines) {
      if (line != 0 && !starts.contains(line)) ++missed;
    }
  }
  double right() const { return static_cast<double>(found) / (found + missed); }
  double precision() const {
    return found == 0 ? 0.0 : static_cast<double>(found) / (found + wrong);
  }
  double both() const { return found == 0 ? 0.0 : 2.0 * found / (2.0 * found + wrong + missed); }
};

std::string text_of(const Tally& tally) {
  return fmt::format("right {:.2f}, precision {:.2f}, F {:.2f}", tally.right(), tally.precision(),
                     tally.both());
}

template <class Rule>
Tally tally_of(Rule&& rule, bool unseen) {
  Tally tally;
  for (const Melody& melody : melodies()) {
    if (melody.unseen != unseen) continue;
    const Piece piece = piece_of(melody);
    tally.add(rule(melody, piece), lines_of(melody, piece.score));
  }
  return tally;
}

// The threshold that serves the rule best on the very melodies that it is held against.
Tally best_threshold(bool unseen) {
  Tally best;
  for (double threshold = 0.02; threshold < 1.0; threshold += 0.02) {
    const Tally tally = tally_of(
        [&](const Melody&, const Piece& piece) { return over_threshold(piece.score, threshold); },
        unseen);
    if (tally.both() > best.both()) best = tally;
  }
  return best;
}

void report(bool unseen) {
  const auto every_bars = [](int bars) {
    return [bars](const Melody&, const Piece& piece) { return every(piece.score, bars); };
  };
  const Tally ours = tally_of(drafted, unseen);
  const Tally two_bars = tally_of(every_bars(2), unseen);
  const Tally threshold = best_threshold(unseen);
  fmt::print("{}\n  drafted                    {}\n  every two bars             {}\n",
             unseen ? "Melodies kept unseen" : "Melodies", text_of(ours), text_of(two_bars));
  fmt::print("  local boundaries, best cut {}\n", text_of(threshold));
  // Not a plain rule: it is told for each melody whether its lines have two or four bars.
  const Tally told = tally_of(
      [](const Melody& melody, const Piece& piece) {
        return every(piece.score, melody.level == Level::kPhrase ? 2 : 4);
      },
      unseen);
  fmt::print("  every four bars            {}\n  two or four, being told    {}\n",
             text_of(tally_of(every_bars(4), unseen)), text_of(told));
  EXPECT_GE(ours.right(), 0.9);
  EXPECT_GE(ours.both(), 0.9);
  EXPECT_GT(ours.both(), two_bars.both());
  EXPECT_GT(ours.both(), threshold.both());
}

TEST(Melodies, AreDraftedWithTheirLines) { report(false); }

TEST(Melodies, AreDraftedWithTheirLinesUnseen) { report(true); }

// As files come: an upbeat taken for the first bar's beginning, or written as the end of a bar of
// rests. The lines are told by their first notes, so they are the same.
TEST(Melodies, AreDraftedWhereverBarsAreCountedFrom) {
  Tally from_first_note;
  Tally from_rests;
  for (const Melody& melody : melodies()) {
    const Starts lines = lines_of(melody, piece_of(melody).score);
    from_first_note.add(drafted(melody, Piece(test::score_of(melody.notes, melody.signature))),
                        lines);
    std::string notes = melody.notes;
    if (melody.pickup) {
      const Beats rest = melody.signature.bar_length() - *melody.pickup;
      notes = fmt::format("r/{} {}", rest.value, notes);
    }
    from_rests.add(drafted(melody, Piece(test::score_of(notes, melody.signature))), lines);
  }
  fmt::print("All melodies\n  bars from the first note    {}\n  pickup after rests          {}\n",
             text_of(from_first_note), text_of(from_rests));
  EXPECT_GE(from_first_note.both(), 0.9);
  EXPECT_GE(from_rests.both(), 0.9);
}

TEST(Melodies, AreWrittenInFullBars) {
  for (const Melody& melody : melodies()) {
    const Piece piece = piece_of(melody);
    const Beats pickup = melody.pickup.value_or(Beats{0.0});
    const Beats bar = melody.signature.bar_length();
    double bars = (piece.score.end() - pickup) / bar;
    const double left = bars - std::floor(bars + 1e-9);
    // Whole bars, or such as lack the pickup at the end.
    const bool is_whole = left < 1e-9;
    const bool lacks_pickup = std::abs((bar * left + pickup - bar).value) < 1e-9;
    EXPECT_TRUE(is_whole || lacks_pickup) << melody.name << " " << bars;
  }
}

}  // namespace
}  // namespace arsis
