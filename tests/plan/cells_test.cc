// Where one even motif after another begins.
#include "plan/cells.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "property.h"

namespace arsis {
namespace {

using enum WrittenLength::Unit;

WrittenLength bars_long(double number) { return {number, kBar, {}}; }
WrittenLength beats_long(double number) { return {number, kBeat, {}}; }

// The ends of `count` cells one after the other, as positions.
std::string ends(const Bars& bars, WrittenLength length, Position from, int count) {
  Beats at = bars.moment_of(from).value_or(Beats{-1.0});
  Cells cells(bars, length, at);
  std::string text;
  for (int i = 0; i < count; ++i) {
    at = cells.end_of(at);
    text += to_string(bars.position_of(at)) + " ";
  }
  return text;
}

Bars in(TimeSignature signature, std::optional<Beats> pickup = std::nullopt) {
  const TimeSignatureChange change{{0.0}, signature};
  return Bars::of(std::span(&change, 1), {40.0}, pickup);
}

TEST(Cells, AreEvenWithinOneTimeSignature) {
  struct Row {
    const char* what;
    Bars bars;
    WrittenLength length;
    Position from;
    const char* ends;
  };
  const Row rows[] = {
      {"from bar line to bar line", in({4, 4}), bars_long(1), {1, 1}, "2:1 3:1 4:1 "},
      {"from upbeat to upbeat", in({4, 4}), bars_long(1), {1, 4}, "2:4 3:4 4:4 "},
      {"over a pickup", in({3, 4}, Beats{1.0}), bars_long(1), {0, 3}, "1:3 2:3 3:3 "},
      {"from within a pickup", in({4, 4}, Beats{2.0}), bars_long(1), {0, 4}, "1:4 2:4 3:4 "},
      {"after a pickup", in({3, 4}, Beats{1.0}), bars_long(1), {1, 3}, "2:3 3:3 4:3 "},
      {"from the bar line after a pickup",
       in({3, 4}, Beats{1.0}),
       bars_long(1),
       {1, 1},
       "2:1 3:1 "
       "4:1 "},
      {"an eighth before the bar line", in({6, 8}), bars_long(1), {1, 6}, "2:6 3:6 4:6 "},
      {"a sixteenth after it", in({2, 4}), bars_long(1), {1, 1.25}, "2:1.25 3:1.25 4:1.25 "},
      {"half bars", in({4, 4}), bars_long(0.5), {1, 4}, "2:2 2:4 3:2 "},
      {"two bars", in({4, 4}), bars_long(2), {1, 4}, "3:4 5:4 7:4 "},
      {"two bars over a pickup", in({3, 4}, Beats{1.0}), bars_long(2), {0, 3}, "2:3 4:3 6:3 "},
      {"three bars to two cells", in({4, 4}), bars_long(1.5), {1, 1}, "2:3 4:1 5:3 "},
      {"beats across the bars", in({3, 4}), beats_long(2), {1, 1}, "1:3 2:2 3:1 "},
      {"beats of an eighth", in({6, 8}), beats_long(3), {1, 4}, "2:1 2:4 3:1 "},
      {"five eighths", in({5, 8}), bars_long(1), {1, 5}, "2:5 3:5 4:5 "}};
  for (const Row& row : rows)
    EXPECT_EQ(ends(row.bars, row.length, row.from, 3), row.ends) << row.what;
}

TEST(Cells, KeepTheUpbeatWhenTheTimeSignatureChanges) {
  const std::vector<TimeSignatureChange> changes = {
      {{0.0}, {3, 4}}, {{6.0}, {4, 4}}, {{14.0}, {7, 8}}};
  const Bars bars = Bars::of(changes, {40.0});
  // A quarter before each bar line, in 7/8 two eighths: beat 6.
  EXPECT_EQ(ends(bars, bars_long(1), {1, 3}, 6), "2:3 3:4 4:4 5:6 6:6 7:6 ");
  EXPECT_EQ(ends(bars, bars_long(1), {1, 1}, 6), "2:1 3:1 4:1 5:1 6:1 7:1 ");
  EXPECT_EQ(ends(bars, bars_long(2), {1, 3}, 3), "3:4 5:6 7:6 ");
}

TEST(Cells, CountBeatsOfTheSignatureInForce) {
  const std::vector<TimeSignatureChange> changes = {{{0.0}, {2, 4}}, {{4.0}, {6, 8}}};
  EXPECT_EQ(ends(Bars::of(changes, {40.0}), beats_long(2), {1, 1}, 4), "2:1 3:1 3:3 3:5 ");
}

TEST(Cells, KeepTheUpbeatOfABarCutShort) {
  const std::vector<TimeSignatureChange> changes = {{{0.0}, {4, 4}}, {{6.0}, {4, 4}}};
  const Bars bars = Bars::of(changes, {40.0});  // bar 2 has two beats
  EXPECT_EQ(ends(bars, bars_long(1), {1, 4}, 3), "2:2 3:4 4:4 ");
}

TEST(Cells, EndAtTheBarLineOfABarTooShortForTheUpbeat) {
  const std::vector<TimeSignatureChange> changes = {
      {{0.0}, {4, 4}}, {{4.0}, {1, 4}}, {{5.0}, {4, 4}}};
  const Bars bars = Bars::of(changes, {40.0});
  EXPECT_EQ(ends(bars, bars_long(1), {1, 2}, 3), "2:1 3:2 4:2 ");
}

TEST(Cells, GoOnPastTheLastBarInBarsOfItsLength) {
  const TimeSignatureChange change{{0.0}, {3, 4}};
  const Bars bars = Bars::of(std::span(&change, 1), {6.0});
  Cells cells(bars, bars_long(1), {2.0});
  EXPECT_EQ(cells.end_of({2.0}).value, 5.0);
  EXPECT_EQ(cells.end_of({5.0}).value, 8.0);
  EXPECT_EQ(cells.end_of({8.0}).value, 11.0);
}

TEST(Cells, GoOnFromWhereABlockOfItsOwnLengthEnded) {
  const Bars bars = in({4, 4});
  Cells cells(bars, bars_long(1), {3.0});
  EXPECT_EQ(cells.end_of({3.0}).value, 7.0);
  EXPECT_EQ(cells.end_of({9.0}).value, 13.0);
  EXPECT_EQ(cells.end_of({13.0}).value, 17.0);
}

TEST(Cells, AlwaysGoForward) {
  EXPECT_TRUE(test::holds(2000, [] {
    std::vector<TimeSignatureChange> changes;
    double at = 0.0;
    const int count = *rc::gen::inRange(1, 6);
    for (int i = 0; i < count; ++i) {
      changes.push_back({{at}, {*rc::gen::inRange(1, 10), 1 << *rc::gen::inRange(0, 5)}});
      at += *rc::gen::inRange(1, 100) / 16.0;
    }
    const Bars bars = Bars::of(changes, {40.0});
    const WrittenLength length{*rc::gen::inRange(1, 40) / 8.0, *rc::gen::element(kBar, kBeat), {}};
    Beats begin{*rc::gen::inRange(0, 200) / 16.0};
    Cells cells(bars, length, begin);
    for (int i = 0; i < 30; ++i) {
      const Beats end = cells.end_of(begin);
      RC_ASSERT(end > begin);
      begin = end;
    }
  }));
}

}  // namespace
}  // namespace arsis
