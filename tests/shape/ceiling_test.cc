// Levels of written dynamics and hairpins, and what the arcs leave of them.
#include "shape/ceiling.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "plan/plan_reader.h"
#include "score_builder.h"
#include "shape/bound.h"
#include "shape/level.h"
#include "shape/perform.h"

namespace arsis {
namespace {

TEST(Ceiling, PutsForteAtVelocity90AndItsNeighboursAtTheirSteps) {
  // Source: MusicXML 4.0, dynamics in percent of velocity 90; the steps are our choice.
  const Tuning tuning;
  EXPECT_EQ(velocity_at(level_of_dynamic(1, tuning)).value(), 90);
  struct Row {
    const char* mark;
    double db;
  };
  for (const Row& row : {Row{"pp", -5.982 - 18.0}, Row{"p", -5.982 - 13.5}, Row{"mp", -5.982 - 9.0},
                         Row{"mf", -5.982 - 4.5}, Row{"f", -5.982}, Row{"ff", -2.982},
                         Row{"fff", 0.0}, Row{"ffff", 0.0}}) {
    EXPECT_NEAR(level_of_dynamic(*dynamic_step(row.mark), tuning).value, row.db, 1e-9) << row.mark;
  }
}

TEST(Ceiling, RunsLinearlyInDecibelsAlongAHairpin) {
  // Source: v(f) = v0 (v1 / v0)^f; 40 -> 100 gives 50.30, 63.25, 79.53 at quarters (computed).
  const Decibels begin{40.0 * std::log10(40.0 / 127.0)};
  const Decibels end{40.0 * std::log10(100.0 / 127.0)};
  for (const auto& [share, velocity] :
       {std::pair{0.25, 50.30}, std::pair{0.5, 63.25}, std::pair{0.75, 79.53}}) {
    const Decibels level = begin + (end - begin) * share;
    EXPECT_NEAR(127.0 * std::pow(10.0, level.value / 40.0), velocity, 0.005);
  }
  const DynamicLine line = {{{0.0}, {0.0}, -2, -2, false}, {{4.0}, {8.0}, -2, 1, false}};
  const Tuning tuning;
  const Ceiling ceiling(line, tuning);
  const double p = level_of_dynamic(-2, tuning).value;
  const double f = level_of_dynamic(1, tuning).value;
  EXPECT_NEAR(ceiling.at({2.0}).value, p, 1e-12);
  EXPECT_NEAR(ceiling.at({4.0}).value, p, 1e-12);
  EXPECT_NEAR(ceiling.at({5.0}).value, p + (f - p) / 4.0, 1e-12);
  EXPECT_NEAR(ceiling.at({8.0}).value, f, 1e-12);
  EXPECT_NEAR(ceiling.at({100.0}).value, f, 1e-12);
}

// The ceiling of the melody's line at a beat, with dynamics as a plan has them.
double ceiling_at(const std::string& dynamics, double beat, std::size_t part = 0) {
  const Score score = test::two_hands(test::repeated("C5 D5 E5 F5", 4), test::repeated("C3/4", 4));
  const BoundPlan plan = test::bound(
      score,
      "dynamics:\n" + dynamics +
          "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u u u /], main: 1}]"
          "\n",
      test::kTwoHands);
  return Ceiling(plan.dynamics[plan.parts[part].dynamics], plan.tuning()).at({beat}).value;
}

constexpr double kMezzoForte = -5.982 - 4.5;  // dB

TEST(Ceiling, IsMezzoForteBeforeTheFirstMark) {
  EXPECT_NEAR(ceiling_at("  - {at: 2:1, mark: pp}\n", 3.9), kMezzoForte, 1e-9);
  EXPECT_NEAR(ceiling_at("  - {at: 2:1, mark: pp}\n", 4.0), -5.982 - 18.0, 1e-9);
  EXPECT_NEAR(ceiling_at("  - {from: 2:1, to: 3:1, hairpin: dim}\n", 1.0), kMezzoForte, 1e-9);
}

TEST(Ceiling, TakesAHairpinToItsMarkOrOneStepOn) {
  const std::string from_p = "  - {at: 1:1, mark: p}\n  - {from: 2:1, to: 3:1, hairpin: cresc";
  struct Row {
    const char* ending;
    double end_db;
  };
  for (const Row& row : {Row{"}\n", -5.982 - 9.0},                           // mp
                         Row{", mark: ff}\n", -2.982},                       // its own mark
                         Row{"}\n  - {at: 3:1, mark: mf}\n", kMezzoForte}})  // the one it leads to
  {
    SCOPED_TRACE(row.ending);
    const double p = -5.982 - 13.5;
    EXPECT_NEAR(ceiling_at(from_p + row.ending, 4.0), p, 1e-9);
    EXPECT_NEAR(ceiling_at(from_p + row.ending, 6.0), (p + row.end_db) / 2.0, 1e-9);
    EXPECT_NEAR(ceiling_at(from_p + row.ending, 8.0), row.end_db, 1e-9);
    EXPECT_NEAR(ceiling_at(from_p + row.ending, 15.0), row.end_db, 1e-9);
  }
}

TEST(Ceiling, IsAPartsOwnWhereItHasDynamics) {
  const std::string dynamics = "  - {at: 1:1, mark: f}\n  - {at: 2:1, mark: pp, part: l}\n";
  EXPECT_NEAR(ceiling_at(dynamics, 4.0, 0), -5.982, 1e-9);
  EXPECT_NEAR(ceiling_at(dynamics, 3.0, 1), -5.982, 1e-9);
  EXPECT_NEAR(ceiling_at(dynamics, 4.0, 1), -5.982 - 18.0, 1e-9);
}

TEST(Level, LosesTheDepthsOfAllLevelsAtTheEdgesAndNoneAtTheGoal) {
  // Source: the ceiling rule, computed: depths 1.5, 4 and 3 dB below velocity 96, 112, 80.
  const Decibels floor{-36.0};
  const Decibels all{8.5};
  for (const auto& [ceiling, edge] :
       {std::pair{96, 58.85}, std::pair{112, 68.66}, std::pair{80, 49.04}}) {
    const Decibels top = level_of(Velocity::clamped(ceiling));
    const Decibels low = arc_level(top, {.loss = all, .deepest = all}, floor);
    EXPECT_NEAR(127.0 * std::pow(10.0, low.value / 40.0), edge, 0.005);
    EXPECT_EQ(arc_level(top, {.loss = {0.0}, .deepest = all}, floor), top);
  }
  EXPECT_EQ(velocity_at(level_of(Velocity::clamped(96)) - all).value(), 59);
}

TEST(Level, ShrinksTheDepthsWhereTheCeilingIsNearTheFloor) {
  EXPECT_EQ(room({-10.0}, {7.5}, {-36.0}), 1.0);
  EXPECT_NEAR(room({-32.25}, {7.5}, {-36.0}), 0.5, 1e-12);
  EXPECT_EQ(room({-40.0}, {7.5}, {-36.0}), 0.0);
  EXPECT_EQ(room({-40.0}, {0.0}, {-36.0}), 1.0);
  // The lowest end of the arcs is then the floor itself.
  EXPECT_NEAR(arc_level({-32.25}, {.loss = {7.5}, .deepest = {7.5}}, {-36.0}).value, -36.0, 1e-12);
}

std::vector<NoteLevel> levels_of(const Score& score, const std::string& lines,
                                 const Layers& layers = {}) {
  const Result<Plan> plan = parse_plan(
      "arsis: 1\nscore: x.mid\nparts:\n  - {name: r, track: 1, role: melody}\n"
      "  - {name: l, track: 2, role: accompaniment, balance: -6 dB}\n" +
          lines + "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [/ u], main: 1}]\n",
      "p.yaml");
  EXPECT_TRUE(plan) << to_string(plan.diagnostics().front());
  const Result<BoundPlan> bound = bind_plan(*plan, score);
  EXPECT_TRUE(bound) << to_string(bound.diagnostics().front());
  return perform(score, *bound, layers).levels;
}

Score two_hands() {
  test::ScoreText text;
  text.parts = {"C5!70 D5!72 E5+G5!74 F5!76 G5/4!90", "C3/4!40 C3/4!50"};
  return test::score_of(text);
}

TEST(NoteLevels, TakeTheScoresVelocitiesForACeilingWithoutDynamics) {
  Layers flat;
  flat.amount = 0.0;
  flat.touch = false;
  const Score score = two_hands();
  const std::vector<NoteLevel> levels = levels_of(score, "", flat);
  for (std::size_t i = 0; i < levels.size(); ++i) {
    EXPECT_EQ(levels[i].level, level_of(score.notes[i].velocity));
  }
}

TEST(NoteLevels, SoftenTheAccompanimentAndInnerNotesByTheTouch) {
  Layers flat;
  flat.amount = 0.0;
  const Score score = two_hands();
  const std::vector<NoteLevel> levels = levels_of(score, "dynamics: [{at: 1:1, mark: f}]\n", flat);
  for (std::size_t i = 0; i < levels.size(); ++i) {
    const bool inner = score.notes[i].key == 76 && score.notes[i].onset.value == 2.0;
    const double loss = score.notes[i].part == 1 ? 6.0 : inner ? 2.0 : 0.0;
    EXPECT_NEAR(levels[i].level.value, -5.982 - loss, 1e-9) << i;
  }
}

TEST(NoteLevels, LiftAccentsOverTheCeiling) {
  Layers flat;
  flat.amount = 0.0;
  const Score score = two_hands();
  struct Row {
    const char* mark;
    double lift;
  };
  for (const Row& row :
       {Row{"accent", 2.5}, Row{"marcato", 3.5}, Row{"sf", 4.5}, Row{"sfz", 4.5}}) {
    const std::vector<NoteLevel> levels =
        levels_of(score,
                  std::string("dynamics: [{at: 1:1, mark: mf}]\nmarks: [{at: 1:2, mark: ") +
                      row.mark + "}]\n",
                  flat);
    EXPECT_NEAR(levels[2].level.value, -10.482 + row.lift, 1e-9) << row.mark;
    EXPECT_NEAR(levels[3].level.value, -10.482 - 2.0, 1e-9) << row.mark;  // its own note only
  }
}

TEST(NoteLevels, PlayAFortePianoForteThenPiano) {
  Layers flat;
  flat.amount = 0.0;
  const Score score = two_hands();
  const std::vector<NoteLevel> levels = levels_of(
      score, "dynamics: [{at: 1:1, mark: mf}]\nmarks: [{at: 1:2, mark: fp, part: r}]\n", flat);
  EXPECT_NEAR(levels[0].level.value, -10.482, 1e-9);        // C, before
  EXPECT_NEAR(levels[2].level.value, -5.982, 1e-9);         // D, forte
  EXPECT_NEAR(levels[5].level.value, -5.982 - 13.5, 1e-9);  // F, piano
}

}  // namespace
}  // namespace arsis
