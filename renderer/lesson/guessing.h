// Guessing at a set without listening: what plain strategies would get right.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "lesson/question.h"

namespace arsis {

// What a strategy gets right of a set, beside what chance gets of it.
struct Guessed {
  std::string_view strategy;
  int right = 0;
  double expected = 0.0;   // mean of chance, in questions: the sum of 1 / choices
  double deviation = 0.0;  // its standard deviation, in questions

  // How far it is better than chance, in standard deviations; 0 of an empty set.
  double advantage() const;
};

// Of whoever is told the answer after each question and goes by it, or always says the same, or
// knows the plan and says what it says: the first, the last; what was right last in that kind, the
// one after it, the one before it; what was right least or most often in that kind; the choices in
// turn; the plan's own.
//   own  of each question the index of what the plan says, or one beyond its choices where it says
//        nothing
std::vector<Guessed> guessed(std::span<const Question> questions, std::span<const std::size_t> own);

// What the plan itself says to a question: its main, its end of the phrase; one beyond the choices
// where the question is not about what a plan says.
std::size_t plans_own(const LessonPiece& piece, const Question& question);

}  // namespace arsis
