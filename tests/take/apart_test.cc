// What there would be to hear, against figures from the model's formulas.
#include "take/apart.h"

#include <gtest/gtest.h>

#include <cmath>

#include "take/own_takes.h"

namespace arsis {
namespace {

using test::planned_piece;
using test::PlannedPiece;

// Two motifs of a bar of three beats, goals 2/6 and 5/6 of the way: the arcs 1 - ((x - g) / w)^2
// differ most at the notes on 0 and, from 5/6 on, at the end; half of 3.5 dB times that.
TEST(LevelApart, IsHalfOfWhatTheArcsDifferBy) {
  const PlannedPiece piece = planned_piece("lantern-song");
  const Leaders leaders = leaders_of(piece.plan);
  const ModelTakes model_takes = model_takes_of(piece.score, piece.plan, leaders);
  const Modelled modelled{piece.score, piece.plan, model_takes};
  const std::uint32_t phrase = piece.plan.sentences[1].first;
  const Block& block = piece.plan.phrases[phrase];
  ASSERT_EQ(block.count, 2u);
  const Choices choices{Level::kPhrase, phrase, 2, 0};
  const auto arc_of = [&](double goal, double x) {
    const double far = (x - goal) / (x < goal ? goal : 1.0 - goal);
    return 1.0 - far * far;
  };
  const double length = block.span.length().value;
  double least = 1.0;
  double most = -1.0;
  for (const std::size_t note : piece.plan.melody) {
    const Beats at = piece.score.notes[note].onset;
    if (!block.span.holds(at)) continue;
    const double x = (at - block.span.begin).value / length;
    const double goals[] = {
        (piece.plan.motifs[block.first].goal - block.span.begin).value / length,
        (piece.plan.motifs[block.first + 1].goal - block.span.begin).value / length};
    const double difference = arc_of(goals[0], x) - arc_of(goals[1], x);
    least = std::min(least, difference);
    most = std::max(most, difference);
  }
  const Decibels apart = level_apart(modelled, choices, 0, 1);
  EXPECT_NEAR(apart.value, 3.5 * (most - least) / 2.0, 1e-9);
  EXPECT_NEAR(level_apart(modelled, choices, 1, 0).value, apart.value, 1e-9);
}

// A motif grows by its depth from its first note to its goal.
TEST(LevelApart, OfAMotifIsItsDepth) {
  const PlannedPiece piece = planned_piece("lantern-song");
  const ModelTakes model_takes = model_takes_of(piece.score, piece.plan, leaders_of(piece.plan));
  const Modelled modelled{piece.score, piece.plan, model_takes};
  const std::uint32_t motif = piece.plan.phrases[piece.plan.sentences[1].first].first;
  EXPECT_NEAR(
      level_apart(modelled, {Level::kMotif, motif, 1, 0}, Choices::kGrows, Choices::kNeither).value,
      1.5, 1e-9);
}

// Where one member lingers, it is longer than the other by about what the plan's lingers differ by,
// over the beat about its goal: 4 % times the window's mean there (0.82), both ways halved, and a
// little of the slowing.
TEST(TimeApart, IsWhatTheOneGoalLingersMore) {
  const PlannedPiece piece = planned_piece("lantern-song");
  PlannedPiece even = piece;
  for (Tuning& tuning : even.plan.tunings) {
    for (const Level level : kEveryLevel) {
      tuning.set(static_cast<Constant>(index_of(level) * 5 + 1), 0.0);  // no slowing
    }
    tuning.set(Constant::kBroadening, 0.0);
    tuning.keep = Keep::kOff;
  }
  const ModelTakes model_takes = model_takes_of(even.score, even.plan, leaders_of(even.plan));
  const Modelled modelled{even.score, even.plan, model_takes};
  const std::uint32_t phrase = even.plan.sentences[1].first;  // not the sentence's main one
  ASSERT_FALSE(even.plan.phrases[phrase].is_main);
  const Choices choices{Level::kPhrase, phrase, 2, 0};
  EXPECT_NEAR(time_apart(modelled, choices, 0, 1), 0.04 * 0.818, 0.002);
  EXPECT_NEAR(time_apart(modelled, choices, 1, 0), 0.04 * 0.818, 0.002);
  // 72 beats or so a minute.
  const Seconds beat = beat_at_goal(modelled, choices, 0);
  EXPECT_GT(beat, Seconds{0.3});
  EXPECT_LT(beat, Seconds{1.2});
}

TEST(WithReading, MovesTheGoalsThatFollow) {
  const PlannedPiece piece = planned_piece("lantern-song");
  Leaders leaders = leaders_of(piece.plan);
  EXPECT_EQ(with_leaders(piece.plan, leaders).phrases[0].goal, piece.plan.phrases[0].goal);
  const std::uint32_t main = piece.plan.sentences[0].main;
  std::uint32_t& leads = leaders.leads[index_of(Level::kPhrase)][main];
  leads = leads == 0 ? 1 : 0;
  const BoundPlan other = with_leaders(piece.plan, leaders);
  const Block& phrase = other.phrases[main];
  EXPECT_EQ(phrase.main, phrase.first + leads);
  EXPECT_TRUE(other.motifs[phrase.main].is_main);
  EXPECT_FALSE(other.motifs[piece.plan.phrases[main].main].is_main);
  EXPECT_EQ(phrase.goal, other.motifs[phrase.main].goal);
  EXPECT_EQ(other.sentences[0].goal, phrase.goal);
}

// A sentence, a phrase or a motif without an arc sounds as the model does without its layer there,
// and all else as before.
TEST(WithReading, SilencesTheArcsOfSingleBlocks) {
  const PlannedPiece piece = planned_piece("ferry-study");
  for (const Level level : kEveryJudgedLevel) {
    Leaders leaders = leaders_of(piece.plan);
    for (std::uint32_t& leads : leaders.leads[index_of(level)]) leads = Leaders::kNone;
    const ModelTakes all = model_takes_of(piece.score, piece.plan, leaders_of(piece.plan));
    const ModelTakes none = model_takes_of(piece.score, piece.plan, leaders);
    for (std::size_t i = 0; i < piece.score.notes.size(); ++i) {
      EXPECT_EQ(none.base.levels[i], all.without[index_of(level)].levels[i]);
    }
    EXPECT_EQ(none.base.time.seconds_at({30.0}),
              all.without[index_of(level)].time.seconds_at({30.0}));
    EXPECT_NE(none.base.levels, all.base.levels);
  }
}

}  // namespace
}  // namespace arsis
