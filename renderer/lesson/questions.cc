#include "lesson/questions.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <optional>

#include "base/dice.h"
#include "lesson/guessing.h"
#include "lesson/passages.h"
#include "lesson/treatment.h"

namespace arsis {
namespace {

constexpr int kMostDraws = 2000;  // of a set's answers; the best is taken where none is good enough

// The passages of one kind, gone through in an order of chance, again and again.
class Passages {
 public:
  Passages(QuestionKind kind, std::span<const LessonPiece> pieces, Dice& dice) {
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      for (Question& each : passages_for(kind, pieces[i], i)) all_.push_back(std::move(each));
    }
    dice.shuffle(all_);
  }

  // The next that can be told at that amount; none where none can, now and later.
  std::optional<Question> next(std::span<const LessonPiece> pieces, double amount) {
    while (!all_.empty()) {
      next_ %= all_.size();
      Question& question = all_[next_];
      question.amount = amount;
      if (can_be_told(pieces[question.piece], question)) return all_[next_++];
      all_.erase(all_.begin() + static_cast<std::ptrdiff_t>(next_));
    }
    return std::nullopt;
  }
  bool empty() const { return all_.empty(); }

 private:
  std::vector<Question> all_;
  std::size_t next_ = 0;
};

// Of the question with that number, from 0.
double amount_of(const LessonWishes& wishes, std::size_t number) {
  const double way =
      wishes.count > 1 ? static_cast<double>(number) / static_cast<double>(wishes.count - 1) : 0.0;
  const double amount = wishes.first_amount + (wishes.last_amount - wishes.first_amount) * way;
  return std::round(amount * 100.0) / 100.0;
}

std::vector<Question> without_answers(std::span<const LessonPiece> pieces,
                                      const LessonWishes& wishes, Dice& dice) {
  std::vector<Passages> kinds;
  for (const QuestionKind kind : wishes.kinds) kinds.emplace_back(kind, pieces, dice);
  std::vector<Question> set;
  while (set.size() < wishes.count) {
    std::erase_if(kinds, [](const Passages& each) { return each.empty(); });
    if (kinds.empty()) break;
    dice.shuffle(kinds);
    for (Passages& kind : kinds) {
      if (set.size() == wishes.count) break;
      if (auto question = kind.next(pieces, amount_of(wishes, set.size()))) {
        set.push_back(*std::move(question));
      }
    }
  }
  return set;
}

double best_advantage(std::span<const Question> set, std::span<const std::size_t> own) {
  double best = -std::numeric_limits<double>::infinity();
  for (const Guessed& each : guessed(set, own)) best = std::max(best, each.advantage());
  return best;
}

}  // namespace

std::vector<Question> draw_questions(std::span<const LessonPiece> pieces,
                                     const LessonWishes& wishes) {
  assert(wishes.count > 0 && wishes.count <= kMostQuestions);
  assert(wishes.first_amount > 0.0 && wishes.last_amount > 0.0);
  Dice dice(wishes.seed);
  std::vector<Question> set = without_answers(pieces, wishes, dice);
  std::vector<std::size_t> own;
  for (const Question& question : set) own.push_back(plans_own(pieces[question.piece], question));
  std::vector<Question> best;
  double least = std::numeric_limits<double>::infinity();
  for (int draw = 0; draw < kMostDraws && least > kMostAdvantage; ++draw) {
    for (Question& question : set) question.answer = dice.below(question.choices.size());
    const double advantage = best_advantage(set, own);
    if (advantage >= least) continue;
    least = advantage;
    best = set;
  }
  return best;
}

}  // namespace arsis
