// A question of an ear-training set: a passage, what may be true of it, and what is.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/units.h"
#include "plan/binding.h"
#include "plan/plan.h"
#include "plan/printed.h"
#include "plan/readings.h"
#include "score/score.h"
#include "shape/instrument.h"

namespace arsis {

enum class QuestionKind : std::uint8_t {
  kMotifLeads,
  kPhraseLeads,
  kFlatOrShaped,
  kLevelMissing,
  kPhraseEnds,
  kDiminuendo,
};
inline constexpr std::size_t kQuestionKinds = 6;
inline constexpr std::array<QuestionKind, kQuestionKinds> kEveryKind = {
    QuestionKind::kMotifLeads,   QuestionKind::kPhraseLeads, QuestionKind::kFlatOrShaped,
    QuestionKind::kLevelMissing, QuestionKind::kPhraseEnds,  QuestionKind::kDiminuendo};
constexpr std::size_t index_of(QuestionKind kind) { return static_cast<std::size_t>(kind); }

// By QuestionKind: their words on a command line.
inline constexpr std::array<std::string_view, kQuestionKinds> kKindNames = {
    "motif-leads", "phrase-leads", "flat-or-shaped", "level-missing", "phrase-ends", "diminuendo"};

// As it is asked: "Which motif leads?".
std::string_view words_of(QuestionKind kind);

// What questions are asked of: a plan over its score. All of it outlives them.
struct LessonPiece {
  const Plan& plan;
  const Score& score;  // at the speed at which it is heard
  const Printed& printed;
  const BoundPlan& bound;
  const Instrument* instrument = nullptr;  // that sounds; none: it follows the law
};

struct Question {
  QuestionKind kind = QuestionKind::kMotifLeads;
  std::size_t piece = 0;  // index of the piece that it is asked of
  // The phrase or the sentence that is heard; of kPhraseEnds the first of two phrases that are.
  LedBlock block;
  Span span;                         // of the score: what is heard
  std::vector<std::string> choices;  // two or more, in order: "motif 1", "motif 2"
  std::size_t answer = 0;            // index of what is heard
  double amount = 1.0;               // ratio 0..2, as Layers::amount

  friend bool operator==(const Question&, const Question&) = default;
};

}  // namespace arsis
