#include "lesson/guessing.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

namespace arsis {
namespace {

// What whoever guesses remembers of the questions of one kind.
struct Memory {
  std::size_t last = 0;
  std::array<int, 64> counts{};  // of answers so far; no question has so many choices
};

struct Guesser {
  std::string_view name;
  // `number` of the question in the set, from 0.
  std::size_t (*guess)(const Memory& memory, std::size_t choices, std::size_t number,
                       std::size_t own);
};

std::size_t by_count(const Memory& memory, std::size_t choices, bool most) {
  const auto end = memory.counts.begin() + static_cast<std::ptrdiff_t>(choices);
  const auto found = most ? std::max_element(memory.counts.begin(), end)
                          : std::min_element(memory.counts.begin(), end);
  return static_cast<std::size_t>(found - memory.counts.begin());
}

constexpr std::array<Guesser, 9> kGuessers = {{
    {"the first",
     [](const Memory&, std::size_t, std::size_t, std::size_t) { return std::size_t{0}; }},
    {"the last", [](const Memory&, std::size_t n, std::size_t, std::size_t) { return n - 1; }},
    {"what was right last",
     [](const Memory& m, std::size_t n, std::size_t, std::size_t) { return m.last % n; }},
    {"the one after what was right last",
     [](const Memory& m, std::size_t n, std::size_t, std::size_t) { return (m.last + 1) % n; }},
    {"the one before what was right last",
     [](const Memory& m, std::size_t n, std::size_t, std::size_t) { return (m.last + n - 1) % n; }},
    {"what was right least often", [](const Memory& m, std::size_t n, std::size_t,
                                      std::size_t) { return by_count(m, n, false); }},
    {"what was right most often",
     [](const Memory& m, std::size_t n, std::size_t, std::size_t) { return by_count(m, n, true); }},
    {"each in turn",
     [](const Memory&, std::size_t n, std::size_t number, std::size_t) { return number % n; }},
    {"what the plan says",
     [](const Memory&, std::size_t, std::size_t, std::size_t own) { return own; }},
}};

}  // namespace

double Guessed::advantage() const { return deviation > 0.0 ? (right - expected) / deviation : 0.0; }

std::vector<Guessed> guessed(std::span<const Question> questions,
                             std::span<const std::size_t> own) {
  assert(questions.size() == own.size());
  std::vector<Guessed> all;
  for (const Guesser& guesser : kGuessers) {
    Guessed result{guesser.name, 0, 0.0, 0.0};
    std::array<Memory, kQuestionKinds> memory{};
    double variance = 0.0;
    for (std::size_t i = 0; i < questions.size(); ++i) {
      const Question& question = questions[i];
      const std::size_t choices = question.choices.size();
      Memory& of_kind = memory[index_of(question.kind)];
      const std::size_t guess = guesser.guess(of_kind, choices, i, own[i]);
      of_kind.last = question.answer;
      ++of_kind.counts[question.answer];
      if (guess >= choices) continue;  // says nothing
      const double chance = 1.0 / static_cast<double>(choices);
      result.expected += chance;
      variance += chance * (1.0 - chance);
      if (guess == question.answer) ++result.right;
    }
    result.deviation = std::sqrt(variance);
    all.push_back(result);
  }
  return all;
}

std::size_t plans_own(const LessonPiece& piece, const Question& question) {
  const BoundPlan& bound = piece.bound;
  const Block& sentence = bound.sentences[question.block.sentence];
  if (question.kind == QuestionKind::kPhraseLeads) return sentence.main - sentence.first;
  const Block& phrase = bound.phrases[sentence.first + question.block.phrase];
  if (question.kind == QuestionKind::kMotifLeads) return phrase.main - phrase.first;
  if (question.kind == QuestionKind::kPhraseEnds) return phrase.count - 1;
  return question.choices.size();
}

}  // namespace arsis
