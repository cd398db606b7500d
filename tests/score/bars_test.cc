// Bars from time signatures, pickups, and printed positions there and back.
#include "score/bars.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "property.h"

namespace arsis {
namespace {

// Begin and end of each bar in quarter notes, after its number.
struct Row {
  int number;
  double begin;
  double end;
};

void expect_bars(const Bars& bars, const std::vector<Row>& rows) {
  ASSERT_EQ(bars.all().size(), rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    SCOPED_TRACE(i);
    EXPECT_EQ(bars.all()[i].number, rows[i].number);
    EXPECT_DOUBLE_EQ(bars.all()[i].span.begin.value, rows[i].begin);
    EXPECT_DOUBLE_EQ(bars.all()[i].span.end.value, rows[i].end);
  }
}

Bars in(TimeSignature signature, double end) {
  const TimeSignatureChange change{{0.0}, signature};
  return Bars::of(std::span(&change, 1), {end});
}

TEST(Bars, HaveTheLengthOfTheirSignature) {
  struct Length {
    TimeSignature signature;
    double beats;
  };
  constexpr Length kLengths[] = {{{4, 4}, 4.0}, {{3, 4}, 3.0}, {{6, 8}, 3.0},   {{5, 8}, 2.5},
                                 {{7, 8}, 3.5}, {{2, 2}, 4.0}, {{3, 16}, 0.75}, {{1, 1}, 4.0}};
  for (const auto& [signature, beats] : kLengths) {
    SCOPED_TRACE(std::to_string(signature.beats) + "/" + std::to_string(signature.beat_unit));
    expect_bars(in(signature, 2.5 * beats),
                {{1, 0.0, beats}, {2, beats, 2 * beats}, {3, 2 * beats, 3 * beats}});
  }
}

// Source: Standard MIDI Files 1.0, "Time Signature": 4/4 where none is given.
TEST(Bars, AreInFourFourWhereNothingIsSaid) {
  expect_bars(Bars::of({}, {5.0}), {{1, 0.0, 4.0}, {2, 4.0, 8.0}});
  expect_bars(Bars::of({}, {0.0}), {{1, 0.0, 4.0}});
  const TimeSignatureChange late{{4.0}, {3, 4}};
  expect_bars(Bars::of(std::span(&late, 1), {6.0}), {{1, 0.0, 4.0}, {2, 4.0, 7.0}});
}

TEST(Bars, EndWithTheScore) {
  expect_bars(in({4, 4}, 8.0), {{1, 0.0, 4.0}, {2, 4.0, 8.0}});
  EXPECT_TRUE(in({4, 4}, 8.0).complete({8.0}));
  EXPECT_FALSE(in({4, 4}, 8.0).complete({8.5}));
}

TEST(Bars, ChangeSignatureAtABarLine) {
  const std::vector<TimeSignatureChange> changes = {
      {{0.0}, {4, 4}}, {{8.0}, {3, 4}}, {{11.0}, {7, 8}}};
  expect_bars(Bars::of(changes, {15.0}),
              {{1, 0.0, 4.0}, {2, 4.0, 8.0}, {3, 8.0, 11.0}, {4, 11.0, 14.5}, {5, 14.5, 18.0}});
}

TEST(Bars, AreCutShortByASignatureWithinThem) {
  const std::vector<TimeSignatureChange> changes = {{{0.0}, {4, 4}}, {{6.0}, {3, 4}}};
  expect_bars(Bars::of(changes, {9.0}), {{1, 0.0, 4.0}, {2, 4.0, 6.0}, {3, 6.0, 9.0}});
}

TEST(Bars, TakeTheLastOfTwoSignaturesAtOneMoment) {
  const std::vector<TimeSignatureChange> changes = {{{0.0}, {4, 4}}, {{0.0}, {3, 4}}};
  expect_bars(Bars::of(changes, {6.0}), {{1, 0.0, 3.0}, {2, 3.0, 6.0}});
}

TEST(Bars, CountAShortFirstSignatureAsPickup) {
  const std::vector<TimeSignatureChange> changes = {{{0.0}, {1, 4}}, {{1.0}, {3, 4}}};
  const Bars bars = Bars::of(changes, {7.0});
  expect_bars(bars, {{0, 0.0, 1.0}, {1, 1.0, 4.0}, {2, 4.0, 7.0}});
  EXPECT_EQ(to_string(bars.position_of({0.0})), "0:3");
  EXPECT_DOUBLE_EQ(bars.all()[0].downbeat.value, -2.0);
  EXPECT_EQ(bars.all()[0].signature, (TimeSignature{3, 4}));
}

TEST(Bars, SeeNoPickupInALongerOrALastingFirstSignature) {
  const std::vector<TimeSignatureChange> longer = {{{0.0}, {4, 4}}, {{4.0}, {3, 4}}};
  EXPECT_EQ(Bars::of(longer, {7.0}).all()[0].number, 1);
  const std::vector<TimeSignatureChange> lasting = {{{0.0}, {2, 4}}, {{4.0}, {3, 4}}};
  EXPECT_EQ(Bars::of(lasting, {7.0}).all()[0].number, 1);
}

TEST(Bars, TakeThePickupThatThePlayerSays) {
  const TimeSignatureChange change{{0.0}, {6, 8}};
  const Bars bars = Bars::of(std::span(&change, 1), {6.5}, Beats{0.5});
  expect_bars(bars, {{0, 0.0, 0.5}, {1, 0.5, 3.5}, {2, 3.5, 6.5}});
  EXPECT_EQ(to_string(bars.position_of({0.0})), "0:6");
  EXPECT_DOUBLE_EQ(bars.moment_of({0, 6.5})->value, 0.25);
  EXPECT_EQ(bars.moment_of({0, 5.0}), std::nullopt);  // before the first note
  expect_bars(Bars::of(std::span(&change, 1), {6.0}, Beats{0.0}), {{1, 0.0, 3.0}, {2, 3.0, 6.0}});
}

TEST(Bars, NeverBecomeTooMany) {
  const Bars bars = in({1, 64}, 1e6);
  EXPECT_EQ(bars.all().size(), static_cast<std::size_t>(Bars::kMostBars));
  EXPECT_FALSE(bars.complete({1e6}));
}

TEST(Bars, AreFoundByNumberAndByMoment) {
  const Bars bars = in({3, 4}, 9.0);
  EXPECT_EQ(bars.find(0), nullptr);
  EXPECT_EQ(bars.find(2)->span.begin.value, 3.0);
  EXPECT_EQ(bars.find(4), nullptr);
  EXPECT_EQ(bars.at({0.0}).number, 1);
  EXPECT_EQ(bars.at({2.999}).number, 1);
  EXPECT_EQ(bars.at({3.0}).number, 2);
  EXPECT_EQ(bars.at({100.0}).number, 3);
}

TEST(Bars, AreNamedFromTheFirstToTheLastThatIsTouched) {
  const Bars bars = Bars::of({}, {16.0});
  EXPECT_EQ(bars_text(bars, {{0.0}, {4.0}}), "bar 1");
  EXPECT_EQ(bars_text(bars, {{3.0}, {4.5}}), "bars 1 to 2");
  EXPECT_EQ(bars_text(bars, {{4.0}, {4.0}}), "bar 2");
  EXPECT_EQ(bars_text(5, 5), "bar 5");
}

TEST(Positions, AreMomentsOfTheScore) {
  const Bars bars = in({4, 4}, 12.0);
  struct Place {
    Position position;
    std::optional<Beats> moment;
  };
  const Place places[] = {{{1, 1.0}, Beats{0.0}},       {{2, 3.5}, Beats{6.5}},
                          {{1, 5.0}, Beats{4.0}},  // past its bar's end: the next one's first beat
                          {{4, 1.0}, std::nullopt},     {{0, 1.0}, std::nullopt},
                          {{2, 0.5}, std::nullopt},     {{1, NAN}, std::nullopt},
                          {{1, INFINITY}, std::nullopt}};
  for (const auto& [position, moment] : places) {
    EXPECT_EQ(bars.moment_of(position), moment) << position.bar << ":" << position.beat;
  }
}

TEST(Positions, AreWrittenAsAMusicianWould) {
  struct Text {
    Position position;
    const char* text;
  };
  const Text texts[] = {{{9, 3.0}, "9:3"},
                        {{9, 3.5}, "9:3.5"},
                        {{9, 3.0 + 1.0 / 3.0}, "9:3+1/3"},
                        {{9, 3.0 + 2.0 / 3.0}, "9:3+2/3"},
                        {{9, 1.25}, "9:1.25"},
                        {{9, 1.0625}, "9:1.0625"},
                        {{9, 2.2}, "9:2+1/5"},
                        {{9, 2.0 + 1.0 / 6.0}, "9:2+1/6"},
                        {{9, 2.0 + 3.0 / 7.0}, "9:2+3/7"},
                        {{9, 2.0 + 5.0 / 12.0}, "9:2+5/12"},
                        {{9, 2.01}, "9:2.01"},
                        {{9, 2.9999999}, "9:3"},
                        {{0, 1.0}, "0:1"}};
  for (const auto& [position, text] : texts) EXPECT_EQ(to_string(position), text);
}

std::vector<TimeSignatureChange> any_signatures() {
  std::vector<TimeSignatureChange> changes;
  double at = 0.0;
  const int count = *rc::gen::inRange(1, 6);
  for (int i = 0; i < count; ++i) {
    const TimeSignature signature{*rc::gen::inRange(1, 13), 1 << *rc::gen::inRange(0, 5)};
    changes.push_back({{at}, signature});
    at += *rc::gen::inRange(1, 200) / 16.0;
  }
  return changes;
}

TEST(Positions, ComeBackFromTheMomentTheyName) {
  EXPECT_TRUE(test::holds(3000, [] {
    const std::vector<TimeSignatureChange> changes = any_signatures();
    const Bars bars =
        Bars::of(changes, {60.0},
                 *rc::gen::elementOf(std::vector<std::optional<Beats>>{std::nullopt, Beats{0.25}}));
    const Beats moment{*rc::gen::inRange(0, 60 * 48) / 48.0};
    const std::optional<Beats> back = bars.moment_of(bars.position_of(moment));
    RC_ASSERT(back.has_value());
    RC_ASSERT(std::abs((*back - moment).value) < 1e-9);
  }));
}

TEST(Bars, LieEndToEndWhateverTheSignatures) {
  EXPECT_TRUE(test::holds(3000, [] {
    const Bars bars = Bars::of(any_signatures(), {60.0});
    Beats end{0.0};
    int number = bars.all().front().number;
    for (const Bar& bar : bars.all()) {
      RC_ASSERT(bar.span.begin == end);
      RC_ASSERT(bar.span.end > bar.span.begin);
      RC_ASSERT(bar.number == number++);
      RC_ASSERT(bar.span.length() <= bar.signature.bar_length());
      end = bar.span.end;
    }
    RC_ASSERT(bars.complete({60.0}));
  }));
}

}  // namespace
}  // namespace arsis
