// What is heard of players who do not play as the model does: deeper or shallower arcs, by level or
// time alone, with accents, dynamics or an accompaniment of their own.
#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "take/comparison.h"
#include "take/own_takes.h"

namespace arsis {
namespace {

using test::compared;
using test::performed;
using test::planned_piece;
using test::PlannedPiece;
using test::take_of_notes;

// The numbers of an arc in the tuning's table.
constexpr std::size_t kDepthOfArc = 0, kSlowingOfArc = 1, kLingerOfArc = 2;

void silence(Tuning& tuning, Level level, std::size_t which) {
  tuning.set(static_cast<Constant>(index_of(level) * 5 + which), 0.0);
}

void silence(Tuning& tuning, Level level) {
  for (const std::size_t which : {kDepthOfArc, kSlowingOfArc, kLingerOfArc}) {
    silence(tuning, level, which);
  }
}

using Notes = std::vector<PerformedNote>;

void louder(PerformedNote& note, double decibels) {
  note.velocity = velocity_at(level_of(note.velocity) + Decibels{decibels});
}

// Each downbeat is louder by so much.
void accent_downbeats(const Score& score, Notes& notes, double decibels) {
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const Beats onset = score.notes[i].onset;
    if (same_moment(score.bars.at(onset).span.begin, onset)) louder(notes[i], decibels);
  }
}

struct Habit {
  const char* name;
  double amount;
  std::function<void(Tuning&)> tune;
  std::function<void(const Score&, Notes&)> play;
  // Of the 58 phrases, 24 sentences and 128 motifs of four plans: fewest and most as planned.
  std::size_t phrases[2], sentences[2], motifs[2];
};

const auto kAsTuned = [](Tuning&) {};
const auto kAsPlayed = [](const Score&, Notes&) {};

const Habit kHabits[] = {
    {"a quarter of the depths", 0.25, kAsTuned, kAsPlayed, {0, 20}, {0, 4}, {0, 10}},
    {"half the depths", 0.5, kAsTuned, kAsPlayed, {45, 58}, {8, 24}, {10, 80}},
    {"three quarters", 0.75, kAsTuned, kAsPlayed, {56, 58}, {22, 24}, {105, 128}},
    {"half as much again", 1.5, kAsTuned, kAsPlayed, {56, 58}, {22, 24}, {115, 128}},
    {"by level alone",
     1.0,
     [](Tuning& tuning) {
       for (const Level level : kEveryLevel) {
         silence(tuning, level, kSlowingOfArc);
         silence(tuning, level, kLingerOfArc);
       }
       tuning.set(Constant::kBroadening, 0.0);
     },
     kAsPlayed,
     {45, 58},
     {12, 24},
     {105, 128}},
    {"by time alone",
     1.0,
     [](Tuning& tuning) {
       for (const Level level : kEveryLevel) silence(tuning, level, kDepthOfArc);
     },
     kAsPlayed,
     {12, 40},
     {10, 24},
     {0, 10}},
    {"without motifs",
     1.0,
     [](Tuning& tuning) { silence(tuning, Level::kMotif); },
     kAsPlayed,
     {56, 58},
     {23, 24},
     {0, 0}},
    {"without phrases",
     1.0,
     [](Tuning& tuning) { silence(tuning, Level::kPhrase); },
     kAsPlayed,
     {0, 0},
     {23, 24},
     {115, 128}},
    {"without sentences",
     1.0,
     [](Tuning& tuning) { silence(tuning, Level::kSentence); },
     kAsPlayed,
     {56, 58},
     {0, 0},
     {110, 128}},
    {"a flat accompaniment",
     1.0,
     kAsTuned,
     [](const Score& score, Notes& notes) {
       for (std::size_t i = 0; i < notes.size(); ++i) {
         if (score.notes[i].part == 1) notes[i].velocity = Velocity::clamped(50);
       }
     },
     {56, 58},
     {23, 24},
     {115, 128}},
    {"written dynamics by half",
     1.0,
     kAsTuned,
     [](const Score&, Notes& notes) {
       for (PerformedNote& note : notes) {
         note.velocity = velocity_at((level_of(note.velocity) + Decibels{-11.9}) * 0.5);
       }
     },
     {54, 58},
     {20, 24},
     {20, 60}},
    {"6 dB softer",
     1.0,
     kAsTuned,
     [](const Score&, Notes& notes) {
       for (PerformedNote& note : notes) louder(note, -6.0);
     },
     {56, 58},
     {23, 24},
     {115, 128}},
    {"downbeats 2 dB louder",
     1.0,
     kAsTuned,
     [](const Score& score, Notes& notes) { accent_downbeats(score, notes, 2.0); },
     {54, 58},
     {22, 24},
     {115, 128}},
    {"flat, with downbeats 1 dB louder",
     0.0,
     kAsTuned,
     [](const Score& score, Notes& notes) { accent_downbeats(score, notes, 1.0); },
     {0, 0},
     {0, 0},
     {0, 0}},
};

struct HabitCounts {
  std::size_t planned = 0;
  std::size_t otherwise = 0;

  template <class Rows>
  void add(const Rows& rows) {
    planned += tally_of(rows).as_planned;
    otherwise += tally_of(rows).otherwise;
  }
};

void expect_within(const HabitCounts& counts, const std::size_t (&range)[2], const char* what) {
  EXPECT_GE(counts.planned, range[0]) << what;
  EXPECT_LE(counts.planned, range[1]) << what;
}

// Nobody is blamed for a habit, but for one block in a hundred.
TEST(Habits, AreHeardForWhatTheyLeaveOfThePlan) {
  std::vector<PlannedPiece> pieces;
  for (const char* name : {"lantern-song", "lantern-song-other", "ferry-study", "mill-round"}) {
    pieces.push_back(planned_piece(name));
  }
  for (const Habit& habit : kHabits) {
    SCOPED_TRACE(habit.name);
    HabitCounts phrases;
    HabitCounts sentences;
    HabitCounts motifs;
    for (const PlannedPiece& piece : pieces) {
      PlannedPiece own = piece;
      for (Tuning& tuning : own.plan.tunings) habit.tune(tuning);
      Layers layers;
      layers.amount = habit.amount;
      Notes notes = performed(own, layers);
      habit.play(piece.score, notes);
      const Comparison heard = compared(piece, take_of_notes(piece.score, notes));
      phrases.add(heard.phrases);
      sentences.add(heard.sentences);
      motifs.add(heard.motifs);
    }
    expect_within(phrases, habit.phrases, "phrases");
    expect_within(sentences, habit.sentences, "sentences");
    expect_within(motifs, habit.motifs, "motifs");
    EXPECT_LE(phrases.otherwise + sentences.otherwise + motifs.otherwise, 2u);
  }
}

}  // namespace
}  // namespace arsis
