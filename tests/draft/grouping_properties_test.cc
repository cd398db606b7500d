// What must not change a draft: another key, other note values for the same music.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "draft/drafting.h"
#include "draft/melodies.h"
#include "draft/random_score.h"
#include "property.h"

namespace arsis {
namespace {

using test::Piece;
using test::starts_of;

// All levels of the best structure, as positions.
std::string draft_of(const Score& score) {
  const Piece piece(score);
  const std::vector<ScoredStructure> found = structures(piece.material(), {});
  if (found.empty()) return "none";
  std::string text;
  for (const Level level : {Level::kMotif, Level::kPhrase, Level::kSentence}) {
    text += starts_of(found.front().structure, level, score) + "\n";
  }
  return text;
}

Score transposed(Score score, int semitones) {
  for (Note& note : score.notes) note.key = static_cast<std::uint8_t>(note.key + semitones);
  return score;
}

// The same music in notes of half the value.
Score in_half_values(Score score, std::optional<Beats> pickup) {
  for (Note& note : score.notes) {
    note.onset = note.onset * 0.5;
    note.end = note.end * 0.5;
  }
  for (TimeSignatureChange& change : score.signatures) {
    change.at = change.at * 0.5;
    change.signature.beat_unit *= 2;
  }
  if (pickup) *pickup = *pickup * 0.5;
  score.bars = Bars::of(score.signatures, score.end(), pickup);
  return score;
}

TEST(GroupingProperties, AreTheSameInEveryKey) {
  EXPECT_TRUE(test::holds(1000, [] {
    const Score score = test::random_score();
    const int semitones = *rc::gen::inRange(-30, 30);
    RC_ASSERT(draft_of(transposed(score, semitones)) == draft_of(score));
  }));
}

TEST(GroupingProperties, AreTheSameInOtherNoteValues) {
  EXPECT_TRUE(test::holds(1000, [] {
    const test::ScoreText text = test::random_score_text();
    const Score score = score_of(text);
    RC_ASSERT(draft_of(in_half_values(score, text.pickup)) == draft_of(score));
  }));
}

TEST(GroupingProperties, AreTheSameForMelodiesInEveryKeyAndOtherValues) {
  for (const test::Melody& melody : test::melodies()) {
    const Score score = test::score_of(melody.notes, melody.signature, melody.pickup);
    EXPECT_EQ(draft_of(transposed(score, 5)), draft_of(score)) << melody.name;
    EXPECT_EQ(draft_of(in_half_values(score, melody.pickup)), draft_of(score)) << melody.name;
  }
}

// All notes are in a block, blocks follow one another, phrases hold two or three motifs but at the
// end, sentences one to three phrases.
TEST(GroupingProperties, AreWellFormed) {
  EXPECT_TRUE(test::holds(2000, [] {
    const Piece piece(test::random_score());
    StructureWishes wishes;
    wishes.count = 3;
    for (const ScoredStructure& found : structures(piece.material(), wishes)) {
      const Structure& structure = found.structure;
      RC_ASSERT(structure.motifs.front().begin <= piece.score.notes.front().onset);
      RC_ASSERT(structure.motifs.back().end > piece.score.notes.back().onset);
      for (std::size_t i = 1; i < structure.motifs.size(); ++i) {
        RC_ASSERT(structure.motifs[i].begin == structure.motifs[i - 1].end);
      }
      RC_ASSERT(found.phrase_words.size() == structure.phrases.size());
      for (std::size_t i = 0; i < structure.phrases.size(); ++i) {
        const bool is_last = i + 1 == structure.phrases.size();
        const std::size_t end = is_last ? structure.motifs.size() : structure.phrases[i + 1];
        const std::size_t motifs = end - structure.phrases[i];
        RC_ASSERT(motifs == 2u || motifs == 3u || (is_last && motifs == 1u));
        RC_ASSERT(!found.phrase_words[i].empty());
      }
      for (std::size_t i = 0; i < structure.sentences.size(); ++i) {
        const bool is_last = i + 1 == structure.sentences.size();
        const std::size_t end = is_last ? structure.phrases.size() : structure.sentences[i + 1];
        RC_ASSERT(end - structure.sentences[i] >= 1u && end - structure.sentences[i] <= 3u);
      }
    }
  }));
}

}  // namespace
}  // namespace arsis
