// A performance played message by message, without a clock.
#include "sound/player.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "message_builder.h"
#include "property.h"
#include "score/excerpt.h"
#include "score/played.h"
#include "score_builder.h"
#include "sound/sent.h"

namespace arsis {
namespace {

using test::played;
using test::Sent;

// Beats of half a second: C5 (key 48 hex) at 0, D5 at 1, E5 at 2, F5 at 3.
Score four_quarters() { return test::score_of("C5 D5 E5 F5"); }

std::shared_ptr<const Rendition> rendition(const Score& score) {
  return rendition_of(score, played(score));
}

PlayerSettings settings_of(const Rendition& rendition) {
  return {.entry = {0.0}, .end = rendition.score.end(), .loop = false, .breath = {0.5}};
}

Player player_of(const Score& score) {
  const auto made = rendition(score);
  return Player(made, settings_of(*made));
}

// Ends what silence() ends where nothing sounds, and what a new beginning resets.
std::string on_all_channels(std::initializer_list<int> controllers) {
  std::string text;
  for (std::uint8_t channel = 0; channel < 16; ++channel) {
    for (const int number : controllers) {
      const std::array<std::uint8_t, 3> message = {static_cast<std::uint8_t>(0xB0 | channel),
                                                   static_cast<std::uint8_t>(number), 0};
      text += (text.empty() ? "" : "; ") + test::hex_text(message);
    }
  }
  return text;
}

TEST(Player, SendsWhatFallsDueTheEndIncluded) {
  Player player = player_of(four_quarters());
  Sent sent;
  player.run({0.0}, sent.into());
  EXPECT_EQ(sent.take(), "90 48 40");
  player.run({0.499}, sent.into());
  EXPECT_EQ(sent.take(), "");
  player.run({0.001}, sent.into());
  EXPECT_EQ(sent.take(), "80 48 00; 90 4A 40");
  EXPECT_FALSE(player.done());
  EXPECT_DOUBLE_EQ(player.at().value, 1.0);
}

TEST(Player, SaysHowLateAMessageIs) {
  Player player = player_of(four_quarters());
  Sent sent;
  player.run({0.7}, sent.into());
  ASSERT_EQ(sent.late.size(), 3u);
  EXPECT_NEAR(sent.late[0].value, 0.7, 1e-12);
  EXPECT_NEAR(sent.late[2].value, 0.2, 1e-12);
}

TEST(Player, IsDoneWithTheLastMessageAndSilencesAll) {
  Player player = player_of(four_quarters());
  Sent sent;
  player.run({1.9}, sent.into());
  EXPECT_FALSE(player.done());
  sent.take();
  player.run({0.1}, sent.into());
  EXPECT_TRUE(player.done());
  EXPECT_EQ(sent.take(), "80 4D 00; " + on_all_channels({64, 66, 123}));
  player.run({10.0}, sent.into());
  EXPECT_EQ(sent.take(), "");
}

TEST(Player, IsDoneAtOnceWhereThereIsNothingToPlay) {
  Player player = player_of(Score{});
  Sent sent;
  player.run({0.0}, sent.into());
  EXPECT_TRUE(player.done());
}

TEST(Player, KnowsHowLongUntilTheNextMessage) {
  Player player = player_of(four_quarters());
  Sent sent;
  EXPECT_DOUBLE_EQ(player.until_next().value, 0.0);
  player.run({0.2}, sent.into());
  EXPECT_NEAR(player.until_next().value, 0.3, 1e-12);
  player.pause(sent.into());
  EXPECT_GT(player.until_next().value, 1e6);
  player.resume({}, sent.into());
  EXPECT_NEAR(player.until_next().value, 0.3, 1e-12);
  player.run({10.0}, sent.into());
  EXPECT_GT(player.until_next().value, 1e6);
}

TEST(Player, PassesExclusivesOnWhole) {
  Score score = four_quarters();
  test::add_message(score, 0.0, 0, {0xF0, 0x7D, 1, 2, 3, 4, 5, 6, 0xF7});
  test::add_message(score, 1.0, 0, {0xC0, 5});
  Player player = player_of(score);
  Sent sent;
  player.run({0.5}, sent.into());
  EXPECT_EQ(sent.take(), "F0 7D 01 02 03 04 05 06 F7; 90 48 40; 80 48 00; C0 05; 90 4A 40");
}

TEST(Player, SilencesEveryNoteAndChannel) {
  test::ScoreText text;
  text.parts = {"C5+E5/4", "C4/4"};
  Player player = player_of(test::score_of(text));
  Sent sent;
  player.run({0.1}, sent.into());
  sent.take();
  player.silence(sent.into());
  EXPECT_EQ(sent.take(), "80 48 00; 80 4C 00; 81 3C 00; " + on_all_channels({64, 66, 123}));
  player.run({1.9}, sent.into());
  EXPECT_EQ(sent.take(), on_all_channels({64, 66, 123}));  // no note ends twice
}

TEST(Player, SendsTheSameWhateverTheSteps) {
  EXPECT_TRUE(test::holds(500, [] {
    test::ScoreText text;
    for (int part = 0; part < 2; ++part) {
      std::string& line = text.parts.emplace_back();
      for (int i = *rc::gen::inRange(0, 8); i > 0; --i) {
        line += *rc::gen::element<std::string>("C4/0.5 ", "D4+E4 ", "r ", "C4 ", "F4/0.25 ");
      }
    }
    Score score = test::score_of(text);
    for (int i = *rc::gen::inRange(0, 4); i > 0; --i) {
      test::add_message(score, 4.0 - i, 0, {0xB0, 64, static_cast<std::uint8_t>(i)});
    }
    const auto made = rendition(score);
    PlayerSettings settings = settings_of(*made);
    settings.loop = *rc::gen::element(true, false);
    settings.entry = {*rc::gen::inRange(0, 4) / 2.0};
    settings.end = std::max(settings.end, settings.entry + Beats{0.5});
    const Seconds length{*rc::gen::inRange(0, 1000) / 100.0};

    Sent at_once;
    Player first(made, settings);
    first.run(length, at_once.into());
    Sent in_steps;
    Player second(made, settings);
    Seconds left = length;
    while (left.value > 0.0) {
      const Seconds step = std::min(left, Seconds{*rc::gen::inRange(1, 1000) / 1000.0});
      second.run(step, in_steps.into());
      for (const Seconds late : in_steps.late) RC_ASSERT(late < step + Seconds{1e-9});
      in_steps.late.clear();
      left -= step;
    }
    // Sums of steps may fall a hair short of a message that is due at their very end.
    first.run({1e-7}, at_once.into());
    second.run({1e-7}, in_steps.into());
    RC_ASSERT(in_steps.messages == at_once.messages);
    RC_ASSERT(first.round() == second.round());
    RC_ASSERT(first.done() == second.done());
  }));
}

TEST(Player, GoesRoundWithABreathBetween) {
  const auto made = rendition(four_quarters());
  PlayerSettings settings = settings_of(*made);
  settings.loop = true;
  Player player(made, settings);
  Sent sent;
  player.run({2.49}, sent.into());
  EXPECT_EQ(player.round(), 1);
  EXPECT_NEAR(player.until_next().value, 0.01, 1e-12);
  EXPECT_EQ(sent.take(),
            "90 48 40; 80 48 00; 90 4A 40; 80 4A 00; 90 4C 40; 80 4C 00; 90 4D 40; 80 4D 00");
  player.run({0.02}, sent.into());
  EXPECT_EQ(player.round(), 2);
  EXPECT_EQ(sent.take(),
            on_all_channels({64, 66, 123}) + "; " + on_all_channels({121}) + "; 90 48 40");
  player.run({2.5 * 40}, sent.into());  // late by many rounds
  EXPECT_EQ(player.round(), 42);
  EXPECT_FALSE(player.done());
}

TEST(Player, BeginsLaterRoundsAtTheEntryAndRestoresItsState) {
  Score score = test::score_of("C5/4 D5 E5");
  test::add_message(score, 0.0, 0, {0xC0, 5});
  test::add_message(score, 3.0, 0, {0xB0, 7, 90});
  test::add_message(score, 5.0, 0, {0xB0, 7, 40});
  Performance performance = played(score);
  const Excerpt excerpt = excerpt_of(score, performance, {.span = {{4.0}, {6.0}}, .count_in = 1});
  const auto made = rendition_of(excerpt.score, excerpt.performance);
  Player player(made, {.entry = excerpt.entry, .end = {6.0}, .loop = true, .breath = {1.0}});
  Sent sent;
  player.run({3.9}, sent.into());
  const std::string clicks =
      "99 4C 64; 89 4C 00; 99 4D 4C; 89 4D 00; 99 4D 4C; 89 4D 00; "
      "99 4D 4C; 89 4D 00; ";
  const std::string music = "90 4A 40; 80 4A 00; B0 07 28; 90 4C 40; 80 4C 00";
  EXPECT_EQ(sent.take_music(), "C0 05; B0 07 5A; " + clicks + music);
  player.run({2.0}, sent.into());
  EXPECT_EQ(sent.take_music(), "C0 05; B0 07 5A; " + music);
  EXPECT_NEAR(player.at().value, excerpt.entry.value + 2.0 * 1.9, 1e-9);
}

TEST(Player, GoesBackAndForthAndOnFromTheEnd) {
  Player player = player_of(four_quarters());
  Sent sent;
  player.run({0.1}, sent.into());
  sent.take();
  const std::vector<std::vector<std::uint8_t>> restore = {{0xC0, 7}};
  player.go_to({2.0}, restore, sent.into());
  EXPECT_EQ(sent.take(), "80 48 00; " + on_all_channels({64, 66, 123}) + "; " +
                             on_all_channels({121}) + "; C0 07");
  EXPECT_DOUBLE_EQ(player.at().value, 2.0);
  player.run({0.6}, sent.into());
  EXPECT_EQ(sent.take_music(), "90 4C 40; 80 4C 00; 90 4D 40");
  player.go_to({1.0}, {}, sent.into());
  player.run({10.0}, sent.into());
  EXPECT_EQ(sent.take_music(),
            "80 4D 00; 90 4A 40; 80 4A 00; 90 4C 40; 80 4C 00; 90 4D 40; "
            "80 4D 00");
  EXPECT_TRUE(player.done());
  player.go_to({3.0}, {}, sent.into());
  EXPECT_FALSE(player.done());
  player.run({10.0}, sent.into());
  EXPECT_EQ(sent.take_music(), "90 4D 40; 80 4D 00");
  player.go_to({400.0}, {}, sent.into());  // a round's end at the latest
  EXPECT_DOUBLE_EQ(player.at().value, 4.0);
}

TEST(Player, LeavesOutWhatBeganBeforeWhereItGoes) {
  Player player = player_of(test::score_of("C5/3 D5"));
  Sent sent;
  player.go_to({1.0}, {}, sent.into());
  player.run({10.0}, sent.into());
  EXPECT_EQ(sent.take_music(), "90 4A 40; 80 4A 00");
}

TEST(Player, PausesInSilenceAndGoesOn) {
  Player player = player_of(test::score_of("C5/2 D5/2"));
  Sent sent;
  player.run({0.5}, sent.into());
  sent.take();
  player.pause(sent.into());
  EXPECT_TRUE(player.paused());
  EXPECT_EQ(sent.take(), "80 48 00; " + on_all_channels({64, 66, 123}));
  player.run({10.0}, sent.into());
  EXPECT_EQ(sent.take(), "");
  const std::vector<std::vector<std::uint8_t>> restore = {{0xB0, 64, 127}};
  player.resume(restore, sent.into());
  EXPECT_FALSE(player.paused());
  EXPECT_EQ(sent.take(), "B0 40 7F");
  EXPECT_DOUBLE_EQ(player.at().value, 1.0);
  player.run({0.5}, sent.into());
  EXPECT_EQ(sent.take(), "90 4A 40");  // the note that was cut ends no second time
}

TEST(Restoring, KeepsWhatAnInstrumentHears) {
  Score score = four_quarters();
  test::add_message(score, 0.0, 0, {0xFF, 0x03, 'a'});
  test::add_message(score, 0.0, 0, {0xF0, 0x7D, 1, 0xF7});
  test::add_message(score, 0.0, 0, {0xC0, 5});
  test::add_message(score, 1.0, 0, {0xC0, 6});
  std::string text;
  for (const auto& message : restoring(score, {1.0})) text += test::hex_text(message) + "; ";
  EXPECT_EQ(text, "F0 7D 01 F7; C0 05; ");
}

// The same notes, each beat half as long.
std::shared_ptr<const Rendition> twice_as_fast(const Score& score) {
  return rendition_of(score, played(score, TimeMap({{{0.0}, {0.0}}, {{1.0}, {0.25}}})));
}

TEST(PlayerChange, GoesOnAtTheSameBeat) {
  const Score score = four_quarters();
  Player player = player_of(score);
  Sent sent;
  player.run({0.75}, sent.into());  // beat 1.5
  sent.take();
  auto other = twice_as_fast(score);
  const auto* fast = other.get();
  player.change(other);
  EXPECT_NE(other.get(), fast);  // the old one is handed back
  EXPECT_DOUBLE_EQ(player.at().value, 1.5);
  player.run({0.125}, sent.into());
  EXPECT_EQ(sent.take(), "80 4A 00; 90 4C 40");
  player.run({0.5}, sent.into());
  EXPECT_EQ(sent.take_music(), "80 4C 00; 90 4D 40; 80 4D 00");
  EXPECT_TRUE(player.done());
}

TEST(PlayerChange, BeforeTheFirstBeatKeepsTheDistanceToIt) {
  const Score score = four_quarters();
  const auto late = rendition_of(score, played(score, TimeMap({{{0.0}, {1.0}}, {{4.0}, {3.0}}})));
  Player player(late, settings_of(*late));
  Sent sent;
  player.run({0.5}, sent.into());
  std::shared_ptr<const Rendition> other = late;
  player.change(other);
  player.run({0.4}, sent.into());
  EXPECT_EQ(sent.take(), "");
  player.run({0.11}, sent.into());
  EXPECT_EQ(sent.take(), "90 48 40");
}

// Both hands on one key of one channel at beat 0: the first sounds for both, or the second does.
Score unison() {
  test::ScoreText text;
  text.parts = {"C5/2 C5/2", "C5/3 r/1"};
  Score score = test::score_of(text);
  score.parts[1].channel = 0;
  return score;
}

std::shared_ptr<const Rendition> unison_sounded_by(std::size_t heard) {
  const Score score = unison();
  Performance performance = played(score);
  performance.notes[1 - heard].sounds = false;
  performance.notes[heard].end = {1.0};  // where the key is struck again
  return rendition_of(score, performance);
}

TEST(PlayerChange, KeepsAKeyDownForWhicheverHandSoundsIt) {
  for (const std::size_t first : {std::size_t{0}, std::size_t{1}}) {
    for (const double at : {0.5, 1.0, 1.5}) {
      auto made = unison_sounded_by(first);
      Player player(made, settings_of(*made));
      Sent sent;
      player.run({at}, sent.into());
      auto other = unison_sounded_by(1 - first);
      player.change(other);
      player.run({10.0}, sent.into());
      EXPECT_EQ(sent.take_music(), "90 48 40; 80 48 00; 90 48 40; 80 48 00") << first << at;
    }
  }
}

TEST(PlayerChange, EndsANoteThatTheNewPerformanceHasNoMore) {
  // Two strikes of a key in quick succession are one in another tempo.
  Score score = test::score_of("C5/0.25 C5/2.75 D5");
  const auto apart = rendition(score);
  Performance together = played(score);
  together.notes[0].end = together.notes[1].end;
  together.notes[1].sounds = false;
  Player player(apart, settings_of(*apart));
  Sent sent;
  player.run({0.5}, sent.into());
  auto other = rendition_of(score, together);
  player.change(other);
  player.run({0.5}, sent.into());
  EXPECT_EQ(sent.take_music(), "90 48 40; 80 48 00; 90 48 40");
  player.run({0.5}, sent.into());
  EXPECT_EQ(sent.take_music(), "80 48 00; 90 4A 40");
}

TEST(PlayerChange, DoesNotStrikeLateWhatSoundedAsOne) {
  Score score = test::score_of("C5/0.25 C5/1.75 D5/2");
  Performance together = played(score);
  together.notes[0].end = together.notes[1].end;
  together.notes[1].sounds = false;
  const auto made = rendition_of(score, together);
  for (const double at : {0.5, 1.5}) {
    Player player(made, settings_of(*made));
    Sent sent;
    player.run({at}, sent.into());
    auto other = rendition(score);  // apart
    player.change(other);
    player.run({0.4}, sent.into());
    EXPECT_EQ(sent.take_music(), at < 1.0 ? "90 48 40" : "90 48 40; 80 48 00; 90 4A 40");
    player.run({10.0}, sent.into());
    EXPECT_EQ(sent.take_music(), at < 1.0 ? "80 48 00; 90 4A 40; 80 4A 00" : "80 4A 00");
  }
}

TEST(PlayerChange, EndsANoteBeforeItsKeyIsStruckAgain) {
  // A lead turns the order of two notes of one key round.
  Score score = test::score_of("C5/0.25 C5/3.75");
  Performance turned = played(score);
  turned.notes[1] = {{0.0}, {0.1}, Velocity::clamped(50)};
  turned.notes[0] = {{0.1}, {0.125}, Velocity::clamped(60)};
  const auto made = rendition_of(score, turned);
  Player player(made, settings_of(*made));
  Sent sent;
  player.run({0.05}, sent.into());  // the second note sounds, the first is to come
  auto other = rendition(score);
  player.change(other);
  player.run({10.0}, sent.into());
  EXPECT_EQ(sent.take_music(), "90 48 32; 80 48 00; 90 48 40; 80 48 00");
}

}  // namespace
}  // namespace arsis
