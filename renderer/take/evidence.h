// What a take says for and against each choice of leading members, as numbers: what was played less
// what the model plays, beside what the model would play otherwise.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "plan/binding.h"
#include "score/score.h"
#include "take/heard.h"
#include "take/model_takes.h"

namespace arsis {

// What is heard of an arc: by the melody's levels, by those of all other notes, by time.
enum class ArcCue : std::uint8_t { kLevel, kUnder, kTime };
inline constexpr std::size_t kCues = 3;
inline constexpr std::array<ArcCue, kCues> kEveryCue = {ArcCue::kLevel, ArcCue::kUnder,
                                                        ArcCue::kTime};
constexpr std::size_t index_of(ArcCue cue) { return static_cast<std::size_t>(cue); }

// What may be true of one block. Of a phrase or sentence: each member leads, or none does. Of a
// motif: it grows to its goal, it does neither, it falls away from it.
struct Choices {
  static constexpr std::size_t kGrows = 0, kNeither = 1, kFalls = 2;

  Level level = Level::kMotif;
  std::uint32_t block = 0;    // index into the plan's blocks of that level
  std::uint32_t members = 0;  // of a motif 1: itself
  std::size_t first = 0;      // column of its first member; that of none comes after the last

  std::size_t count() const { return level == Level::kMotif ? 3 : members + 1; }
  std::size_t none() const { return level == Level::kMotif ? kNeither : members; }
  std::size_t none_column() const { return first + members; }
};

// Where a block is among the evidence.
struct BlockPlace {
  std::size_t sentence = 0;
  std::size_t block = 0;  // place in SentenceEvidence::blocks
};

// One cue in one sentence. All in dB or seconds.
struct CueEvidence {
  std::vector<double> observed;  // played less what the base has
  std::vector<std::uint32_t>
      notes;                   // whose levels they are (indices into Score::notes); of time none
  std::vector<double> errors;  // how much each errs, against one another (ratios)
  // What else may differ, in any amount: how loud it all is; when it began, its tempo and how that
  // drifts, the melody's lead, fermatas, the closing ritardando.
  std::vector<std::vector<double>> beside;
  std::vector<std::vector<double>> columns;  // what each choice would add to `observed`
};

struct SentenceEvidence {
  std::vector<Choices> blocks;  // the sentence, its phrases, their motifs; by column
  std::size_t columns = 0;
  std::array<CueEvidence, kCues> cues;
};

// `plan` has the leaders of the model's base. Blocks of more than ModelTakes::kMostMembers
// members have no choices, nor has a sentence with far more blocks than anybody plans; of one with
// thousands of notes some are passed over.
SentenceEvidence evidence_of(const Score& score, const BoundPlan& plan, const Heard& heard,
                             const ModelTakes& model_takes, std::size_t sentence);

// Played seconds for each written one over a sentence, by its moments before the closing
// ritardando; none: too few.
std::optional<double> pace_of(const Score& score, const BoundPlan& plan, const Heard& heard,
                              std::size_t sentence);

}  // namespace arsis
