// Lines of whole phrases.
#include "page/systems.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "page/drawn.h"
#include "property.h"
#include "shape/random_music.h"

namespace arsis {
namespace {

using test::bound;
using test::demo;
using test::Drawing;
using test::even_piece;
using test::holds;

constexpr Millimetres kRoom{166.0};

// Which phrases each line holds, by their names: "1.1 1.2 | 2.1 2.2".
std::string lines_of(const Drawing& drawing, Millimetres room = kRoom) {
  std::string text;
  for (const System& system : systems_of(drawing.picture(), drawing.whole(), room)) {
    if (!text.empty()) text += " |";
    for (std::size_t i = 0; i < drawing.plan.phrases.size(); ++i) {
      if (!system.span.holds(drawing.plan.phrases[i].span.begin)) continue;
      text += (text.empty() ? "" : " ") + block_name(drawing.plan, Level::kPhrase, i);
    }
  }
  return text;
}

TEST(Systems, AreSentencesWhereTheseFillALine) {
  EXPECT_EQ(lines_of(demo("lantern-song")),
            "1.1 1.2 | 2.1 2.2 2.3 | 3.1 3.2 3.3 | 4.1 4.2 | 5.1 5.2 | 6.1 6.2 6.3");
  EXPECT_EQ(lines_of(even_piece(12)), "1.1 1.2 | 2.1 2.2 | 3.1 3.2");
}

TEST(Systems, HoldMoreOnAWiderLineAndFewerOnANarrowOne) {
  EXPECT_EQ(lines_of(even_piece(16), {300.0}), "1.1 1.2 2.1 2.2 | 3.1 3.2 4.1 4.2");
  EXPECT_EQ(lines_of(even_piece(8), {60.0}), "1.1 | 1.2 | 2.1 | 2.2");
}

TEST(Systems, LeaveAPhraseOfTwelveBarsWholeAndTighter) {
  Score score = test::score_of(test::repeated("C5 D5 E5 F5", 20));
  BoundPlan plan = bound(score,
                         "motif: {length: 1 bar, from: 1:1}\nsentences:\n"
                         "  - {phrases: [u /, / u], main: 1}\n"
                         "  - {phrases: [{motifs: [{to: 11:1}, {to: 17:1, main: true}]}]}\n"
                         "  - {phrases: [u /, / u], main: 1}\n");
  const Drawing drawing(std::move(score), std::move(plan));
  const auto systems = systems_of(drawing.picture(), drawing.whole(), kRoom);
  ASSERT_EQ(systems.size(), 3u);
  EXPECT_EQ(systems[1].span, drawing.plan.phrases[2].span);
  EXPECT_NEAR(systems[1].width.value, kRoom.value, 1e-9);
  EXPECT_GT(systems[0].width / systems[0].span.length().value,
            systems[1].width / systems[1].span.length().value * 2.0);
}

TEST(Systems, FollowBarsWhereThereIsNoPlan) {
  Score score = test::score_of(test::repeated("C5", 38));
  const Drawing drawing = test::unplanned(std::move(score));
  Beats cursor;
  for (const System& system : systems_of(drawing.picture(), drawing.whole(), kRoom)) {
    EXPECT_EQ(system.span.begin, cursor);
    EXPECT_EQ(drawing.score.bars.at(system.span.begin).span.begin, system.span.begin);
    cursor = system.span.end;
  }
  EXPECT_EQ(cursor, Beats{38.0});
}

TEST(Systems, GoOnToTheEndOfTheLastBlockAfterItsLastNote) {
  Score score = test::score_of("C5 D5 E5 F5 C5 D5 E5");
  BoundPlan plan =
      bound(score, "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u /]}]\n");
  const Drawing drawing(std::move(score), std::move(plan));
  const Span notes = {{0.0}, {7.0}};
  EXPECT_EQ(systems_of(drawing.picture(), notes, kRoom).back().span.end, Beats{8.0});
  const Span first = {{0.0}, {4.0}};
  EXPECT_EQ(systems_of(drawing.picture(), first, kRoom).back().span.end, Beats{4.0});
}

TEST(Systems, OfOneNoteAreOne) {
  Score score = test::score_of("C4");
  const Drawing drawing = test::unplanned(std::move(score));
  EXPECT_EQ(systems_of(drawing.picture(), drawing.whole(), kRoom).size(), 1u);
}

TEST(Systems, AreNoneWhereThePassageIsEmpty) {
  const Drawing drawing = even_piece(4);
  EXPECT_TRUE(systems_of(drawing.picture(), {{400.0}, {500.0}}, kRoom).empty());
}

TEST(Systems, HoldEveryPhraseWhollyAndFollowOneAnother) {
  EXPECT_TRUE(holds(1'000, [] {
    const auto music = test::random_music();
    const Drawing drawing(music.score, music.bound);
    const Millimetres room{test::any(30, 400) * 1.0};
    const auto systems = systems_of(drawing.picture(), drawing.whole(), room);
    RC_ASSERT(!systems.empty());
    RC_ASSERT(systems.front().span.begin == Beats{0.0});
    RC_ASSERT(systems.back().span.end >= drawing.score.end());
    for (std::size_t i = 0; i < systems.size(); ++i) {
      RC_ASSERT(systems[i].span.begin < systems[i].span.end);
      // Not with ||: the macro takes the expression apart, and evaluates both sides.
      if (i > 0) RC_ASSERT(systems[i].span.begin == systems[i - 1].span.end);
      RC_ASSERT(systems[i].width.value > 0.0 && systems[i].width.value <= room.value + 1e-9);
    }
    for (const Block& phrase : drawing.plan.phrases) {
      RC_ASSERT(std::ranges::count_if(systems, [&](const System& system) {
                  return system.span.begin <= phrase.span.begin &&
                         phrase.span.end <= system.span.end;
                }) == 1);
    }
  }));
}

}  // namespace
}  // namespace arsis
