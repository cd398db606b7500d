// What grouping weighs, in one table. All numbers are ratios of our own choice, set by reasoning
// before any melody of tests/draft/melodies.cc was drafted and not changed for one since. Their
// order follows common practice: what is printed, rests and long notes part blocks more clearly
// than leaps do, and blocks that are alike belong at the same places.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace arsis {

// What may mark the beginning of a block, or speak against one.
enum class Cue : std::uint8_t {
  kRest,      // before it
  kLongNote,  // before it
  kLeap,      // to it
  kChange,    // of intervals, lengths and rests at once: the published local boundary strength
  kSlurEnd,   // on the note before it
  kDynamics,  // a mark or a hairpin begins with it
  kFermata,   // on the note or rest before it
  kBreath,    // before it
  kCadence,   // in the bass, before it
  kHome,      // the note before it is long and the one that the piece ends on
  kKey,       // a new key signature
  kMetre,     // a new time signature
  kCutNote,   // a note sounds through it
  kCutSlur,   // a slur spans it
};
inline constexpr std::size_t kCues = static_cast<std::size_t>(Cue::kCutSlur) + 1;

struct CueInfo {
  double weight;           // of a cue of full strength; below 0: speaks against a block's beginning
  std::string_view words;  // as a musician would say it
};

// By cue.
inline constexpr std::array<CueInfo, kCues> kCueTable = {{
    {0.8, "rest before it"},
    {0.8, "long note before it"},
    {0.2, "leap to it"},
    {0.4, "the line parts here"},
    {0.8, "slur ends before it"},
    {0.5, "the dynamics change with it"},
    {1.2, "fermata before it"},
    {1.2, "breath mark before it"},
    {0.7, "cadence before it"},
    {0.3, "comes home before it"},
    {1.2, "new key"},
    {1.2, "new time signature"},
    {-1.2, "cuts a held note"},
    {-0.8, "cuts a slur"},
}};

struct GroupingWeights {
  // How much of a boundary's strength counts where a motif, a phrase or a sentence begins. A
  // beginning of a sentence is one of a phrase and of a motif, too; it counts once, with the last.
  // Strength is taken less the usual one at a note of the melody; what a sentence has more, less
  // the mean of the clear boundaries of the piece, so that many clear ones do not make many
  // sentences.
  double motif = 0.3;
  double phrase = 0.7;
  double sentence = 1.4;

  // How alike two blocks are, less the mean over the piece.
  double parallel_phrases = 0.6;    // neighbours of one length in a sentence
  double parallel_sentences = 1.6;  // neighbours of one shape
  double parallel_openings = 0.6;   // the first phrases of two neighbouring sentences
  double returns = 0.6;             // a sentence that begins as the piece does

  // Costs.
  double three_motifs = 0.25;     // a phrase of three motifs, where two are commonest
  double three_phrases = 0.3;     // a sentence of three phrases
  double lone_phrase = 1.2;       // a phrase that is a sentence by itself
  double lone_motif = 3.0;        // at the very end, a phrase of one motif
  double uneven_phrases = 0.5;    // two neighbours of different lengths in a sentence
  double uneven_sentences = 0.5;  // two neighbours of different lengths
  double uneven_shapes = 0.3;     // of one length, made of other phrases

  // Choosing the cell.
  double pickup = 1.0;       // the piece begins with a whole cell
  double dense_bar = 10.0;   // more notes in a bar than this: half a bar, where it can be halved
  double sparse_bar = 1.75;  // fewer: two bars
};
inline constexpr GroupingWeights kGroupingWeights{};

}  // namespace arsis
