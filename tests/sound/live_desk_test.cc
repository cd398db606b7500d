// Commands from one thread to a player that another turns.
#include "sound/live_desk.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <atomic>
#include <thread>

#include "score/played.h"
#include "score_builder.h"
#include "sound/sent.h"

namespace arsis {
namespace {

using test::played;
using test::Sent;
using Kind = LiveCommand::Kind;

std::shared_ptr<const Rendition> quarters(int count) {
  const Score score = test::score_of(test::repeated("C5 D5", count / 2));
  return rendition_of(score, played(score));
}

PlayerSettings settings_of(const Rendition& rendition, bool loop = false) {
  return {.entry = {0.0}, .end = rendition.score.end(), .loop = loop, .breath = {0.5}};
}

TEST(LiveDesk, DoesWhatWasPostedThenLetsTimePass) {
  const auto made = quarters(8);
  LiveDesk desk(made, settings_of(*made));
  Sent sent;
  desk.post({.kind = Kind::kGoTo, .moment = {3.0}, .restore = {{0xC0, 5}}});
  desk.turn({0.1}, {0.0}, sent.into());
  EXPECT_EQ(sent.take_music(), "C0 05; 90 4A 40");
  EXPECT_NEAR(desk.state().at.value, 3.2, 1e-9);
  desk.post({.kind = Kind::kPause});
  desk.turn({0.1}, {0.0}, sent.into());
  EXPECT_TRUE(desk.state().paused);
  EXPECT_NEAR(desk.state().at.value, 3.2, 1e-9);
  desk.post({.kind = Kind::kResume});
  desk.turn({0.1}, {0.0}, sent.into());
  EXPECT_FALSE(desk.state().paused);
  EXPECT_NEAR(desk.state().at.value, 3.4, 1e-9);
}

TEST(LiveDesk, PlaysNothingMoreAfterTheSilence) {
  const auto made = quarters(8);
  LiveDesk desk(made, settings_of(*made));
  Sent sent;
  desk.turn({0.1}, {0.0}, sent.into());
  desk.post({.kind = Kind::kSilence});
  desk.post({.kind = Kind::kResume});
  sent.take();
  desk.turn({0.6}, {0.0}, sent.into());
  EXPECT_EQ(sent.take_music(), "80 48 00");
  EXPECT_TRUE(desk.silenced());
}

TEST(LiveDesk, IsDoneWhenAllIsSentAndHasDiedAway) {
  const auto made = quarters(2);
  LiveDesk desk(made, settings_of(*made));
  Sent sent;
  desk.turn({5.0}, {0.0}, sent.into());
  EXPECT_TRUE(desk.all_sent());
  EXPECT_FALSE(desk.state().done);
  desk.set_died_away();
  EXPECT_TRUE(desk.state().done);
  desk.post({.kind = Kind::kGoTo});
  EXPECT_FALSE(desk.state().done);
}

LiveCommand beginning(const std::shared_ptr<const Rendition>& rendition) {
  return {.kind = Kind::kBegin,
          .moment = {0.0},
          .rendition = rendition,
          .player = std::make_unique<Player>(rendition, settings_of(*rendition))};
}

TEST(LiveDesk, BeginsAnotherPieceFromItsStart) {
  const auto made = quarters(8);
  const Score score = test::score_of(test::repeated("E5 F5 G5", 4));
  const auto other = rendition_of(score, played(score), {-3.0});
  LiveDesk desk(made, settings_of(*made));
  Sent sent;
  desk.turn({0.1}, {0.0}, sent.into());
  EXPECT_EQ(desk.gain(), Decibels{0.0});
  desk.post({.kind = Kind::kPause});
  desk.post(beginning(other));
  EXPECT_FALSE(desk.state().paused);
  EXPECT_EQ(desk.state().at, Beats{0.0});
  EXPECT_EQ(desk.rendition(), other);
  sent.take();
  desk.turn({0.1}, {0.0}, sent.into());
  EXPECT_EQ(sent.take_music(), "80 48 00; 90 4C 40");  // ends what sounded
  EXPECT_EQ(desk.gain(), Decibels{-3.0});
  EXPECT_FALSE(desk.state().paused);
  desk.turn({10.0}, {0.0}, sent.into());
  EXPECT_TRUE(desk.all_sent());
  EXPECT_EQ(std::ranges::count_if(sent.messages, [](const auto& each) { return each[0] == 0x90; }),
            11);
}

TEST(LiveDesk, IsNotDoneWithWhatBeginsBecauseTheLastHasDiedAway) {
  const auto made = quarters(2);
  LiveDesk desk(made, settings_of(*made));
  Sent sent;
  desk.turn({5.0}, {0.0}, sent.into());
  desk.set_died_away();
  EXPECT_TRUE(desk.state().done);
  desk.post(beginning(made));
  EXPECT_FALSE(desk.state().done);
  desk.set_died_away();  // the playing thread says so before it has taken the command
  EXPECT_FALSE(desk.state().done);
  desk.turn({0.1}, {0.0}, sent.into());
  EXPECT_FALSE(desk.state().done);
  desk.turn({5.0}, {0.0}, sent.into());
  EXPECT_TRUE(desk.all_sent());
  EXPECT_FALSE(desk.state().done);
  desk.set_died_away();
  EXPECT_TRUE(desk.state().done);
}

TEST(LiveDesk, ForgetsCommandsThatAreTooManyButNeverTheSilence) {
  const auto made = quarters(2);
  LiveDesk desk(made, settings_of(*made));
  const auto other = quarters(2);
  for (int i = 0; i < 10'000; ++i) desk.post({.kind = Kind::kChange, .rendition = other});
  EXPECT_LE(other.use_count(), 258);  // 255 in the box, one of the desk, one here
  for (int i = 0; i < 10'000; ++i) desk.post({.kind = Kind::kSilence, .rendition = other});
  EXPECT_LE(other.use_count(), 259);
  Sent sent;
  desk.turn({0.1}, {0.0}, sent.into());
  EXPECT_TRUE(desk.silenced());
  desk.post({});  // frees what was obeyed
  EXPECT_LE(other.use_count(), 3);
}

TEST(LiveDesk, ReportsHowFarNotesAreFromTheirMoment) {
  const auto made = quarters(100);
  LiveDesk desk(made, settings_of(*made));
  EXPECT_FALSE(desk.report().first_note);
  EXPECT_EQ(desk.report().off_most.value, 0.0);
  Sent sent;
  desk.turn({0.0}, {0.0}, sent.into());                               // the first, at its moment
  for (int i = 0; i < 98; ++i) desk.turn({0.5}, {0.0}, sent.into());  // as are these
  desk.turn({0.52}, {0.0}, sent.into());                              // the last is 20 ms late
  const LiveReport report = desk.report();
  EXPECT_EQ(report.messages, 199u);
  ASSERT_TRUE(report.first_note);
  EXPECT_EQ(report.first_note->value, 0.0);
  EXPECT_NEAR(report.off_half.value, 0.00005, 1e-9);
  EXPECT_NEAR(report.off_most.value, 0.00005, 1e-9);
}

TEST(LiveDesk, MeasuresFromWhereMessagesAreAimed) {
  const auto made = quarters(10);
  LiveDesk desk(made, settings_of(*made));
  Sent sent;
  desk.turn({0.01}, {0.0}, sent.into());  // 10 ms late ...
  EXPECT_NEAR(desk.report().off_most.value, 0.01, 0.0001);
  LiveDesk aimed(made, settings_of(*made));
  aimed.turn({0.01}, {0.01}, sent.into());  // ... as was meant
  EXPECT_NEAR(aimed.report().off_most.value, 0.0, 0.0001);
}

TEST(LiveDesk, TakesCommandsWhileAnotherThreadTurns) {
  const auto made = quarters(16);
  LiveDesk desk(made, settings_of(*made, true));
  std::atomic<std::size_t> heard = 0;
  std::thread player([&] {
    while (!desk.silenced()) {
      desk.turn({0.01}, {0.0}, [&](std::span<const std::uint8_t>, Seconds) { ++heard; });
    }
  });
  for (int i = 0; i < 2'000; ++i) {
    desk.post({.kind = Kind::kGoTo, .moment = {i % 16 * 1.0}, .restore = {{0xC0, 5}}});
    desk.post({.kind = Kind::kChange, .rendition = quarters(16)});
    desk.post({.kind = i % 2 == 0 ? Kind::kPause : Kind::kResume});
    EXPECT_GE(desk.state().at.value, 0.0);
    EXPECT_GE(desk.report().off_most.value, 0.0);
  }
  desk.post({.kind = Kind::kSilence});
  player.join();
  EXPECT_TRUE(desk.silenced());
  EXPECT_EQ(desk.report().messages, heard);
}

}  // namespace
}  // namespace arsis
