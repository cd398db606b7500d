// What is heard of a plan in a take, held against takes whose plan is known: performances of our
// own plans by the model, plain, flat, disturbed, and against another reading.
#include "take/comparison.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "take/model_takes.h"
#include "take/own_takes.h"

namespace arsis {
namespace {

using test::audible_blocks;
using test::compared;
using test::performed;
using test::planned_piece;
using test::PlannedPiece;
using test::take_of_notes;

std::string text(const Tally& tally) {
  return fmt::format("{} as planned, {} otherwise, {} not audible, {} cannot tell",
                     tally.as_planned, tally.otherwise, tally.not_audible, tally.cannot_tell);
}

Layers flat() {
  Layers layers;
  layers.amount = 0.0;
  return layers;
}

constexpr const char* kPlans[] = {"lantern-song", "lantern-song-other", "ferry-study",
                                  "mill-round"};

std::size_t steps_away(Verdict verdict) { return static_cast<std::size_t>(verdict); }

// A block of the model's own performance is as planned if a listener can hear it there (see
// audible_blocks), else not audible: nothing else may be said of it.
template <class Rows>
void expect_as_planned(const Rows& rows, const std::vector<bool>& audible) {
  ASSERT_EQ(rows.size(), audible.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const Verdict verdict = audible[i] ? Verdict::kAsPlanned : Verdict::kNotAudible;
    EXPECT_EQ(steps_away(rows[i].verdict), steps_away(verdict)) << i;
  }
}

TEST(Comparison, HearsThePlanThatWasPerformedWhereverItIsAudible) {
  for (const char* plan : kPlans) {
    SCOPED_TRACE(plan);
    const PlannedPiece piece = planned_piece(plan);
    const Comparison heard = compared(piece, take_of_notes(piece.score, performed(piece)));
    EXPECT_TRUE(heard.melody_played);
    expect_as_planned(heard.motifs, audible_blocks(piece, Level::kMotif));
    expect_as_planned(heard.phrases, audible_blocks(piece, Level::kPhrase));
    expect_as_planned(heard.sentences, audible_blocks(piece, Level::kSentence));
    EXPECT_EQ(tally_of(heard.phrases).as_planned, piece.plan.phrases.size());
    EXPECT_EQ(tally_of(heard.sentences).as_planned, piece.plan.sentences.size());
    EXPECT_GE(10 * tally_of(heard.motifs).as_planned, 8 * piece.plan.motifs.size());
    EXPECT_EQ(tally_of(heard.dynamics.changes).otherwise, 0u);
    EXPECT_EQ(tally_of(heard.dynamics.hairpins).otherwise, 0u);
    EXPECT_EQ(heard.tempo.verdict, Verdict::kAsPlanned);
    EXPECT_NEAR(*heard.tempo.speed, 1.0, 0.005);
    for (const BalanceHeard& balance : heard.balance) {
      EXPECT_EQ(balance.verdict, Verdict::kAsPlanned);
      EXPECT_NEAR(balance.heard->value, balance.planned.value, 0.25);
      EXPECT_GT(*balance.lead, Seconds{0.0});
    }
    for (const EvennessHeard& evenness : heard.evenness) {
      EXPECT_NE(evenness.verdict, Verdict::kOtherwise);
    }
  }
}

// Of the default depths (motif 1.5, phrase 3.5 dB) the fit finds what was put in, up to what whole
// velocities round off. The phrases of these sentences lie outside all diminuendos.
TEST(Comparison, MeasuresTheDepthsThatWerePerformed) {
  const PlannedPiece piece = planned_piece("lantern-song");
  const Comparison heard = compared(piece, take_of_notes(piece.score, performed(piece)));
  for (const std::size_t sentence : {1u, 2u}) {
    const Block& block = piece.plan.sentences[sentence];
    for (std::uint32_t p = block.first; p < block.first + 2; ++p) {
      // Two motifs of a bar, goals 2/6 and 5/6 of the way: their arcs differ by 0.92 from one note
      // to another, and half of 3.5 dB times that is 1.6 dB.
      EXPECT_NEAR(heard.phrases[p].by.level->value, 1.614, 0.1) << p;
      const Block& phrase = piece.plan.phrases[p];
      for (std::uint32_t m = phrase.first; m < phrase.first + phrase.count; ++m) {
        EXPECT_NEAR(heard.motifs[m].by.level->value, 1.5, 0.4) << m;
      }
    }
  }
}

// Exactly the blocks that lead elsewhere in the reading that was performed, and as it has them.
template <class Rows>
void expect_differing(const Rows& rows, const std::vector<Block>& played,
                      const std::vector<Block>& against, const std::vector<bool>& audible) {
  for (std::size_t i = 0; i < rows.size(); ++i) {
    SCOPED_TRACE(i);
    if (played[i].main == against[i].main) {
      EXPECT_NE(rows[i].verdict, Verdict::kOtherwise);
    } else if (audible[i]) {
      EXPECT_EQ(rows[i].verdict, Verdict::kOtherwise);
      EXPECT_EQ(rows[i].heard, played[i].main);
      EXPECT_EQ(rows[i].against, against[i].main);
    } else {
      EXPECT_NE(rows[i].verdict, Verdict::kAsPlanned);
    }
  }
}

void expect_differing(const PlannedPiece& played, const PlannedPiece& against) {
  const Take take = take_of_notes(played.score, performed(played));
  const Comparison heard = compared(against, take);
  expect_differing(heard.phrases, played.plan.phrases, against.plan.phrases,
                   audible_blocks(played, Level::kPhrase));
  expect_differing(heard.sentences, played.plan.sentences, against.plan.sentences,
                   audible_blocks(played, Level::kSentence));
  for (const Growth& motif : heard.motifs) EXPECT_NE(motif.verdict, Verdict::kOtherwise);
}

TEST(Comparison, FindsExactlyTheBlocksThatLeadOtherwiseInAnotherReading) {
  const PlannedPiece song = planned_piece("lantern-song");
  const PlannedPiece other = planned_piece("lantern-song-other");
  expect_differing(song, other);
  expect_differing(other, song);
}

// Every second phrase, or every sentence, led by its next member.
TEST(Comparison, FindsExactlyTheBlocksThatAreLedByTheirNextMember) {
  for (const char* plan : {"lantern-song", "ferry-study", "mill-round"}) {
    SCOPED_TRACE(plan);
    const PlannedPiece piece = planned_piece(plan);
    for (const Level level : {Level::kPhrase, Level::kSentence}) {
      SCOPED_TRACE(name_of(level));
      PlannedPiece next = piece;
      Leaders leaders = leaders_of(piece.plan);
      for (std::size_t i = 0; i < leaders.leads[index_of(level)].size(); i += 2) {
        std::uint32_t& leads = leaders.leads[index_of(level)][i];
        leads = (leads + 1) % piece.plan.level(level)[i].count;
      }
      next.plan = with_leaders(piece.plan, leaders);
      expect_differing(next, piece);
      expect_differing(piece, next);
    }
  }
}

TEST(Comparison, HearsNoArcInAFlatTake) {
  for (const char* plan : kPlans) {
    SCOPED_TRACE(plan);
    const PlannedPiece piece = planned_piece(plan);
    const Comparison heard = compared(piece, take_of_notes(piece.score, performed(piece, flat())));
    for (const Tally& tally :
         {tally_of(heard.motifs), tally_of(heard.phrases), tally_of(heard.sentences)}) {
      EXPECT_EQ(tally.as_planned + tally.otherwise, 0u);
      EXPECT_GT(tally.not_audible, 0u);
    }
    EXPECT_EQ(tally_of(heard.dynamics.hairpins).otherwise, 0u);
    EXPECT_GT(tally_of(heard.dynamics.hairpins).as_planned, 0u);
  }
}

TEST(Comparison, HearsWhatSwellsInADiminuendo) {
  const PlannedPiece piece = planned_piece("lantern-song");
  PlannedPiece swelling = piece;
  for (Tuning& tuning : swelling.plan.tunings) tuning.diminuendo = Diminuendo::kSwell;
  Layers much;
  much.amount = 2.0;
  const Take take = take_of_notes(piece.score, performed(swelling, much));
  const Comparison heard = compared(piece, take);
  std::size_t swells = 0;
  for (const HairpinHeard& hairpin : heard.dynamics.hairpins) {
    if (!hairpin.swell || hairpin.verdict != Verdict::kOtherwise) continue;
    ++swells;
    EXPECT_TRUE(hairpin.falls);
    EXPECT_GE(*hairpin.swell, kLevelStep);
    EXPECT_TRUE(hairpin.span.holds(hairpin.swells_at));
  }
  EXPECT_EQ(swells,
            1u);  // from 21:3, towards F sharp; from 19:1 the print falls as fast as it rises
  // Where the plan itself wants it to swell, nothing is wrong with it.
  EXPECT_EQ(tally_of(compared(swelling, take).dynamics.hairpins).otherwise, 0u);
}

TEST(Comparison, HearsDynamicsTurnedUpsideDown) {
  const PlannedPiece piece = planned_piece("ferry-study");
  std::vector<PerformedNote> notes = performed(piece, flat());
  for (PerformedNote& note : notes) {  // as far above velocity 60 as it was below, in dB
    note.velocity = velocity_at(level_of(Velocity::clamped(60)) * 2.0 - level_of(note.velocity));
  }
  const Comparison heard = compared(piece, take_of_notes(piece.score, notes));
  EXPECT_EQ(text(tally_of(heard.dynamics.changes)),
            "0 as planned, 4 otherwise, 0 not audible, 0 cannot tell");
  EXPECT_EQ(text(tally_of(heard.dynamics.hairpins)),
            "0 as planned, 5 otherwise, 0 not audible, 0 cannot tell");
}

TEST(Comparison, HearsTempoDrift) {
  const PlannedPiece piece = planned_piece("lantern-song");
  std::vector<PerformedNote> notes = performed(piece);
  // Hurries from the first note to the last, which comes 15 % early: by the end a second lasts
  // 1 - 2 * 0.15 of what it did at the beginning.
  const double end = notes.back().onset.value;
  for (PerformedNote& note : notes) {
    const auto hurried = [&](Seconds at) {
      return Seconds{at.value * (1.0 - 0.15 * at.value / end)};
    };
    note.onset = hurried(note.onset);
    note.end = hurried(note.end);
  }
  const TempoHeard heard = compared(piece, take_of_notes(piece.score, notes)).tempo;
  EXPECT_EQ(heard.verdict, Verdict::kOtherwise);
  EXPECT_NEAR(*heard.drift, 0.3, 0.06);  // from the middle of the first sentence to the last's
  EXPECT_NEAR(*heard.speed, 1.0 / 0.85, 0.03);
}

// From sentence to sentence it goes to and fro, but not from the first to the last.
TEST(Comparison, TakesNoSwayForADrift) {
  const PlannedPiece piece = planned_piece("ferry-study");
  const Take take = take_of_notes(piece.score, performed(piece), {.rubato = 0.3});
  EXPECT_EQ(compared(piece, take).tempo.verdict, Verdict::kAsPlanned);
}

TEST(Comparison, HearsAnAccompanimentThatCoversTheMelody) {
  const PlannedPiece piece = planned_piece("lantern-song");
  std::vector<PerformedNote> notes = performed(piece);
  for (std::size_t i = 0; i < notes.size(); ++i) {
    if (piece.score.notes[i].part != 1) continue;
    notes[i].velocity = velocity_at(level_of(notes[i].velocity) + Decibels{7.0});
  }
  const Comparison heard = compared(piece, take_of_notes(piece.score, notes));
  ASSERT_EQ(heard.balance.size(), 1u);
  EXPECT_EQ(heard.balance[0].part, 1u);
  EXPECT_EQ(heard.balance[0].verdict, Verdict::kOtherwise);
  EXPECT_NEAR(heard.balance[0].heard->value, -3.0, 0.25);
}

TEST(Comparison, HearsUnevenness) {
  const PlannedPiece piece = planned_piece("ferry-study");
  std::vector<PerformedNote> notes = performed(piece, flat());
  std::size_t count = 0;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    if (piece.score.notes[i].part != 0 || count++ % 2 == 0) continue;
    notes[i].onset += Seconds{0.010};  // every other note late: intervals differ by 20 ms
  }
  const Comparison heard = compared(piece, take_of_notes(piece.score, notes));
  EXPECT_EQ(heard.evenness[0].verdict, Verdict::kOtherwise);
  EXPECT_NEAR(heard.evenness[0].time->value, 0.020, 0.001);
  EXPECT_NE(heard.evenness[1].verdict, Verdict::kOtherwise);
}

TEST(Comparison, HearsBreathsButNotUnderThePedal) {
  const PlannedPiece piece = planned_piece("lantern-song");
  Take take = take_of_notes(piece.score, performed(piece));
  const auto breaths = [&] {
    std::size_t heard = 0;
    for (const BlockEnd& end : compared(piece, take).ends) {
      heard += end.breath == Verdict::kAsPlanned;
    }
    return heard;
  };
  EXPECT_GE(breaths(), 12u);
  take.pedals = {{{0.0}, 64, 127}};
  EXPECT_EQ(breaths(), 0u);
  for (const BlockEnd& end : compared(piece, take).ends) {
    EXPECT_EQ(end.under_pedal, end.gap.has_value());
  }
}

TEST(Comparison, CannotTellTheLevelsOfAMelodyThatWasNotPlayed) {
  const PlannedPiece piece = planned_piece("lantern-song");
  const Take take = take_of_notes(piece.score, performed(piece), {.parts = {1}});
  const Comparison heard = compared(piece, take);
  EXPECT_FALSE(heard.melody_played);
  for (const Lead& lead : heard.phrases) EXPECT_FALSE(lead.by.level);
  EXPECT_EQ(tally_of(heard.phrases).otherwise, 0u);
  const Comparison empty = compared(piece, Take{});
  EXPECT_EQ(tally_of(empty.phrases).cannot_tell, piece.plan.phrases.size());
  EXPECT_EQ(tally_of(empty.motifs).cannot_tell, piece.plan.motifs.size());
}

}  // namespace
}  // namespace arsis
