// An ear-training set: questions drawn by chance from plans, the same from the same seed on every
// machine.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "lesson/question.h"

namespace arsis {

inline constexpr std::size_t kMostQuestions = 200;

struct LessonWishes {
  std::vector<QuestionKind> kinds = {kEveryKind.begin(), kEveryKind.end()};
  std::size_t count = 24;     // 1..kMostQuestions
  double first_amount = 2.0;  // ratio above 0, to 2: of the first question ...
  double last_amount = 0.5;   // ... falling (or rising) evenly to the last, in whole percents
  std::uint64_t seed = 1;
};

// The set, in the order in which it is to be heard. The kinds come round by round, each round in an
// order of its own; a kind is passed over where no passage is left that can be told at that amount.
// Of a kind the passages are gone through before one comes again. Empty where the pieces have no
// passage for any of the kinds.
//
// Answers are drawn each by itself, with equal chances, whatever the plan says; the whole of them
// is drawn again until no strategy of guessed() does notably better than chance (kMostAdvantage).
// So nothing is to be had from the order, from what was right before, or from knowing the plan.
// Time grows with the notes of a piece for each of its questions.
std::vector<Question> draw_questions(std::span<const LessonPiece> pieces,
                                     const LessonWishes& wishes);

// In standard deviations of chance: about one set in five would be beyond it for one strategy. Our
// choice.
inline constexpr double kMostAdvantage = 0.85;

}  // namespace arsis
