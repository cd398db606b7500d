// What is played so that a choice is true: read off the plan and the performance.
#include "lesson/treatment.h"

#include <algorithm>
#include <memory>

#include "lesson/lesson_pieces.h"
#include "lesson/passages.h"

namespace arsis {
namespace {

using test::LessonPieces;

std::vector<Question> all_of(QuestionKind kind, const std::vector<LessonPiece>& pieces) {
  std::vector<Question> all;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    for (Question& each : passages_for(kind, pieces[i], i)) all.push_back(std::move(each));
  }
  return all;
}

BoundPlan bound_of(const LessonPiece& piece, const Question& question, std::size_t choice) {
  const Treatment treatment = treatment_of(piece, question, choice);
  const Result<BoundPlan> bound = bind_plan(treatment.plan, piece.score, piece.printed);
  EXPECT_TRUE(bound);
  return *bound;
}

TEST(Treatment, LetsEachMemberLeadAndMovesNoBlock) {
  const LessonPieces held({"lantern-song", "mill-round"});
  const auto pieces = held.pieces();
  for (const QuestionKind kind : {QuestionKind::kMotifLeads, QuestionKind::kPhraseLeads}) {
    const std::vector<Question> all = all_of(kind, pieces);
    EXPECT_GT(all.size(), 8u);
    for (const Question& question : all) {
      const LessonPiece& piece = pieces[question.piece];
      for (std::size_t choice = 0; choice < question.choices.size(); ++choice) {
        const BoundPlan bound = bound_of(piece, question, choice);
        const Block& sentence = bound.sentences[question.block.sentence];
        const Block& block = kind == QuestionKind::kPhraseLeads
                                 ? sentence
                                 : bound.phrases[sentence.first + question.block.phrase];
        EXPECT_EQ(block.main - block.first, choice);
        EXPECT_EQ(block.span, question.span);
        EXPECT_EQ(block.count, question.choices.size());
        EXPECT_TRUE(
            std::ranges::equal(bound.motifs, piece.bound.motifs, {}, &Block::span, &Block::span));
      }
    }
  }
}

TEST(Treatment, EndsThePhraseWhereTheChoiceSays) {
  const LessonPieces held({"lantern-song", "ferry-study", "mill-round"});
  const auto pieces = held.pieces();
  const std::vector<Question> all = all_of(QuestionKind::kPhraseEnds, pieces);
  EXPECT_GT(all.size(), 15u);
  for (const Question& question : all) {
    const LessonPiece& piece = pieces[question.piece];
    for (std::size_t choice = 0; choice < question.choices.size(); ++choice) {
      const BoundPlan bound = bound_of(piece, question, choice);
      const Block& sentence = bound.sentences[question.block.sentence];
      const Block& first = bound.phrases[sentence.first + question.block.phrase];
      const Block& second = bound.phrases[sentence.first + question.block.phrase + 1];
      EXPECT_EQ(first.count, choice + 1);
      EXPECT_EQ(first.span.begin, question.span.begin);
      EXPECT_EQ(second.span.end, question.span.end);
      EXPECT_EQ("before " + to_string(piece.score.bars.position_of(first.span.end)),
                question.choices[choice]);
      EXPECT_TRUE(
          std::ranges::equal(bound.motifs, piece.bound.motifs, {}, &Block::span, &Block::span));
    }
  }
}

TEST(Treatment, LeavesOutALevelOrAllShape) {
  const LessonPieces held({"lantern-song"});
  const auto pieces = held.pieces();
  Question question = all_of(QuestionKind::kLevelMissing, pieces).front();
  question.amount = 1.5;
  for (std::size_t choice = 0; choice < 3; ++choice) {
    const Layers layers = treatment_of(pieces[0], question, choice).layers;
    EXPECT_EQ(layers.amount, 1.5);
    for (std::size_t level = 0; level < layers.heard.size(); ++level) {
      EXPECT_EQ(layers.heard[level], level != choice);
    }
  }
  Question flat = all_of(QuestionKind::kFlatOrShaped, pieces).front();
  flat.amount = 0.7;
  EXPECT_EQ(treatment_of(pieces[0], flat, 0).layers.amount, 0.0);
  EXPECT_EQ(treatment_of(pieces[0], flat, 1).layers.amount, 0.7);
}

// Sentence 4 of the song rises over a printed diminuendo: swelling is louder there, never softer.
TEST(Treatment, LetsTheDiminuendoSwell) {
  const LessonPieces held({"lantern-song"});
  const auto pieces = held.pieces();
  bool swells = false;
  for (const Question& question : all_of(QuestionKind::kDiminuendo, pieces)) {
    const Performance kept = perform_choice(pieces[0], question, 0).performance;
    const Performance swelling = perform_choice(pieces[0], question, 1).performance;
    ASSERT_EQ(kept.notes.size(), swelling.notes.size());
    for (std::size_t i = 0; i < kept.notes.size(); ++i) {
      EXPECT_GE(swelling.notes[i].velocity, kept.notes[i].velocity);
      swells = swells || swelling.notes[i].velocity > kept.notes[i].velocity;
    }
  }
  EXPECT_TRUE(swells);
}

TEST(Treatment, TellsWhatCannotBeTold) {
  const LessonPieces held({"lantern-song"});
  const auto pieces = held.pieces();
  Question question = all_of(QuestionKind::kMotifLeads, pieces).front();
  EXPECT_TRUE(can_be_told(pieces[0], question));
  question.amount = 0.0;
  EXPECT_FALSE(can_be_told(pieces[0], question));
}

// In bars 3 to 6 of the song the phrase has gone to its goal, and only what falls is left, when the
// printed diminuendo begins: kept or passed, it is played alike to the last note but for some
// microseconds.
TEST(Treatment, TellsNoDiminuendoInWhichNothingRises) {
  const LessonPieces held({"lantern-song"});
  const auto pieces = held.pieces();
  std::vector<std::string> told;
  std::vector<std::string> not_told;
  for (Question& question : all_of(QuestionKind::kDiminuendo, pieces)) {
    for (const double amount : {2.0, 0.5}) {
      question.amount = amount;
      auto& names = can_be_told(pieces[0], question) ? told : not_told;
      names.push_back(to_string(pieces[0].score.bars.position_of(question.span.begin)));
    }
  }
  EXPECT_NE(std::ranges::find(told, "21:3"), told.end());
  EXPECT_EQ(std::ranges::find(told, "3:3"), told.end());
  EXPECT_EQ(std::ranges::count(not_told, "3:3"), 2);
}

// How small a shape is asked for is the teacher's affair.
TEST(Treatment, TellsWhatIsHardToHear) {
  const LessonPieces held({"lantern-song"});
  const auto pieces = held.pieces();
  Question question = all_of(QuestionKind::kPhraseLeads, pieces).front();
  question.amount = 0.2;
  EXPECT_TRUE(can_be_told(pieces[0], question));
}

// Of half the law's steepness: what is soft by the law needs a lower velocity there.
TEST(Treatment, IsPlayedForTheInstrument) {
  const LessonPieces held({"lantern-song"});
  LessonPiece piece = held.pieces()[0];
  const auto table = std::make_shared<LevelTable>(
      LevelTable::of({{60, {{Velocity::clamped(1), {-42.0}}, {Velocity::clamped(127), {0.0}}}}}));
  Instrument gentle;
  gentle.by_program.fill(table);
  for (const Question& question : passages_for(QuestionKind::kMotifLeads, piece, 0)) {
    const Excerpt by_law = perform_choice(piece, question, 0);
    LessonPiece gentler = piece;
    gentler.instrument = &gentle;
    const Excerpt made = perform_choice(gentler, question, 0);
    for (std::size_t i = 0; i < made.performance.notes.size(); ++i) {
      EXPECT_LT(made.performance.notes[i].velocity, by_law.performance.notes[i].velocity);
      EXPECT_EQ(made.performance.notes[i].onset, by_law.performance.notes[i].onset);
    }
    EXPECT_TRUE(can_be_told(gentler, question));
  }
}

TEST(Treatment, KnowsTheLongestChoice) {
  const LessonPieces held({"lantern-song"});
  const auto pieces = held.pieces();
  const Question question = all_of(QuestionKind::kFlatOrShaped, pieces).front();
  const Seconds longest = longest_choice(pieces[0], question);
  double latest = 0.0;
  for (std::size_t choice = 0; choice < 2; ++choice) {
    for (const PerformedNote& note :
         perform_choice(pieces[0], question, choice).performance.notes) {
      latest = std::max(latest, note.end.value);
    }
  }
  EXPECT_EQ(longest.value, latest);
}

}  // namespace
}  // namespace arsis
