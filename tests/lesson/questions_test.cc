// Sets of questions: the same from the same seed, balanced, and nothing to be had by guessing.
#include "lesson/questions.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>

#include "lesson/guessing.h"
#include "lesson/lesson_pieces.h"
#include "lesson/treatment.h"

namespace arsis {
namespace {

using test::LessonPieces;

LessonWishes wishes_of(std::uint64_t seed, std::size_t count = 24) {
  LessonWishes wishes;
  wishes.seed = seed;
  wishes.count = count;
  return wishes;
}

std::vector<std::size_t> own_of(const std::vector<LessonPiece>& pieces,
                                const std::vector<Question>& set) {
  std::vector<std::size_t> own;
  for (const Question& question : set) own.push_back(plans_own(pieces[question.piece], question));
  return own;
}

TEST(Questions, AreTheSameFromTheSameSeedOnly) {
  const LessonPieces held({"lantern-song", "mill-round"});
  const auto pieces = held.pieces();
  const std::vector<Question> set = draw_questions(pieces, wishes_of(7));
  EXPECT_EQ(set, draw_questions(pieces, wishes_of(7)));
  EXPECT_NE(set, draw_questions(pieces, wishes_of(8)));
}

TEST(Questions, ComeRoundByRoundAndGrowHarder) {
  const LessonPieces held({"lantern-song", "mill-round"});
  const auto pieces = held.pieces();
  const std::vector<Question> set = draw_questions(pieces, wishes_of(3));
  ASSERT_EQ(set.size(), 24u);
  for (std::size_t round = 0; round < 4; ++round) {
    std::set<QuestionKind> kinds;
    for (std::size_t i = 0; i < 6; ++i) kinds.insert(set[6 * round + i].kind);
    EXPECT_EQ(kinds.size(), 6u) << round;
  }
  EXPECT_EQ(set.front().amount, 2.0);
  EXPECT_EQ(set.back().amount, 0.5);
  EXPECT_TRUE(std::ranges::is_sorted(set, std::greater<>{}, &Question::amount));
  for (const Question& question : set) {
    EXPECT_GE(question.choices.size(), 2u);
    EXPECT_LT(question.answer, question.choices.size());
    EXPECT_EQ(std::set(question.choices.begin(), question.choices.end()).size(),
              question.choices.size());
    EXPECT_TRUE(can_be_told(pieces[question.piece], question));
  }
}

TEST(Questions, AskForWhatIsWishedAndAsOftenAsItIsWished) {
  const LessonPieces held({"lantern-song"});
  const auto pieces = held.pieces();
  for (const QuestionKind kind : kEveryKind) {
    LessonWishes wishes = wishes_of(1, 9);
    wishes.kinds = {kind};
    wishes.first_amount = wishes.last_amount = 1.0;
    const std::vector<Question> set = draw_questions(pieces, wishes);
    EXPECT_EQ(set.size(), 9u) << words_of(kind);
    for (const Question& question : set) {
      EXPECT_EQ(question.kind, kind);
      EXPECT_EQ(question.amount, 1.0);
    }
  }
  EXPECT_EQ(draw_questions(pieces, wishes_of(1, 1)).size(), 1u);
  EXPECT_TRUE(draw_questions({}, wishes_of(1)).empty());
}

TEST(Questions, RepeatNoPassageWhileThereAreOthers) {
  const LessonPieces held({"lantern-song"});
  const auto pieces = held.pieces();
  LessonWishes wishes = wishes_of(5, 30);
  wishes.kinds = {QuestionKind::kMotifLeads};
  std::map<std::pair<std::size_t, std::size_t>, int> heard;
  for (const Question& question : draw_questions(pieces, wishes)) {
    ++heard[{question.block.sentence, question.block.phrase}];
  }
  EXPECT_EQ(heard.size(), 15u);  // all phrases of the song
  for (const auto& [block, times] : heard) EXPECT_EQ(times, 2);
}

// Further strategies than those that sets are drawn against. Each guesses by what it is told.
struct Asked {
  const std::vector<LessonPiece>& pieces;
  const std::vector<Question>& set;
  std::size_t number;
  const Question& question() const { return set[number]; }
  std::size_t choices() const { return question().choices.size(); }
};

std::size_t answer_before(const Asked& asked, std::size_t back) {
  return asked.number < back ? 0 : asked.set[asked.number - back].answer % asked.choices();
}

// The choice whose performance lasts longest, or shortest: what a clip's length might tell.
std::size_t by_length(const Asked& asked, bool longest) {
  std::vector<double> lengths;
  for (std::size_t i = 0; i < asked.choices(); ++i) {
    const Excerpt excerpt =
        perform_choice(asked.pieces[asked.question().piece], asked.question(), i);
    lengths.push_back(excerpt.performance.notes.back().end.value);
  }
  const auto found =
      longest ? std::ranges::max_element(lengths) : std::ranges::min_element(lengths);
  return static_cast<std::size_t>(found - lengths.begin());
}

struct Strategy {
  const char* name;
  std::size_t (*guess)(const Asked& asked);
};

constexpr Strategy kStrategies[] = {
    {"what was right in the question before", [](const Asked& a) { return answer_before(a, 1); }},
    {"what was right six questions before", [](const Asked& a) { return answer_before(a, 6); }},
    {"not what was right six questions before",
     [](const Asked& a) { return (answer_before(a, 6) + 1) % a.choices(); }},
    {"the number of the question, backwards",
     [](const Asked& a) { return (a.set.size() - a.number) % a.choices(); }},
    {"by the passage's number",
     [](const Asked& a) {
       return (a.question().block.sentence + a.question().block.phrase) % a.choices();
     }},
    {"the longest", [](const Asked& a) { return by_length(a, true); }},
    {"the shortest", [](const Asked& a) { return by_length(a, false); }},
};

TEST(Questions, GiveNothingAwayToWhoeverGuesses) {
  const LessonPieces held({"lantern-song"});
  const auto pieces = held.pieces();
  constexpr int kSets = 20;
  std::map<std::string, double> advantage;  // summed over sets, in standard deviations of one
  for (std::uint64_t seed = 0; seed < kSets; ++seed) {
    const std::vector<Question> set = draw_questions(pieces, wishes_of(seed));
    ASSERT_EQ(set.size(), 24u);
    for (const Guessed& each : guessed(set, own_of(pieces, set))) {
      EXPECT_LE(each.advantage(), kMostAdvantage) << each.strategy << ", seed " << seed;
      advantage[std::string(each.strategy)] += each.advantage();
    }
    for (const Strategy& strategy : kStrategies) {
      double expected = 0.0;
      double variance = 0.0;
      int right = 0;
      for (std::size_t i = 0; i < set.size(); ++i) {
        const Asked asked{pieces, set, i};
        const double chance = 1.0 / static_cast<double>(asked.choices());
        expected += chance;
        variance += chance * (1.0 - chance);
        right += strategy.guess(asked) == set[i].answer ? 1 : 0;
      }
      advantage[strategy.name] += (right - expected) / std::sqrt(variance);
    }
  }
  for (const auto& [name, sum] : advantage) {
    // Of fair coins the sum has a standard deviation of the root of the number of sets.
    EXPECT_LT(sum, 3.0 * std::sqrt(kSets)) << name;
  }
}

TEST(Questions, HaveEachAnswerAsOften) {
  const LessonPieces held({"lantern-song"});
  const auto pieces = held.pieces();
  std::map<std::pair<std::size_t, std::size_t>, int> answers;  // by how many choices, and which
  std::map<std::size_t, int> asked;
  for (std::uint64_t seed = 100; seed < 120; ++seed) {
    for (const Question& question : draw_questions(pieces, wishes_of(seed))) {
      ++answers[{question.choices.size(), question.answer}];
      ++asked[question.choices.size()];
    }
  }
  for (const auto& [key, times] : answers) {
    const double share = 1.0 / static_cast<double>(key.first);
    const double mean = asked[key.first] * share;
    EXPECT_NEAR(times, mean, 4.0 * std::sqrt(mean * (1.0 - share)))
        << key.second + 1 << " of " << key.first;
  }
}

// The measure itself: sets that do give themselves away are found out.
TEST(Guessing, FindsOutASetThatIsNotFair) {
  std::vector<Question> set(24);
  for (std::size_t i = 0; i < set.size(); ++i) set[i].choices = {"a", "b"};
  const std::vector<std::size_t> own(set.size(), 2);
  const auto advantage = [&](std::string_view strategy) {
    for (const Guessed& each : guessed(set, own)) {
      if (each.strategy == strategy) return each.advantage();
    }
    return -100.0;
  };
  EXPECT_NEAR(advantage("the first"), 12.0 / std::sqrt(6.0), 1e-9);  // all of 24, sd of 24 coins
  EXPECT_NEAR(advantage("the last"), -12.0 / std::sqrt(6.0), 1e-9);
  for (std::size_t i = 0; i < set.size(); ++i) set[i].answer = i % 2;
  EXPECT_NEAR(advantage("the first"), 0.0, 1e-9);
  EXPECT_GT(advantage("the one after what was right last"), 4.0);
  EXPECT_GT(advantage("each in turn"), 4.0);
  EXPECT_EQ(advantage("what the plan says"), 0.0);  // it says nothing here
}

}  // namespace
}  // namespace arsis
