// What becomes of parts, tracks and messages in an excerpt.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "message_builder.h"
#include "score/excerpt.h"
#include "score/played.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::played;

std::string messages_text(const Excerpt& excerpt) {
  std::string text;
  for (const Message& message : excerpt.score.messages) {
    const auto bytes = excerpt.score.bytes_of(message);
    if (bytes[0] == 0xFF && bytes[1] == 0x58) continue;
    text += fmt::format("{}@{}: {}\n", message.track, short_number(message.at.value),
                        test::hex_text(bytes));
  }
  return text;
}

// Three tracks of eight quarters, on channels 1, 2 and 3.
Score three_parts() {
  test::ScoreText text;
  text.parts = {test::repeated("C5", 8), test::repeated("C4", 8), test::repeated("C3", 8)};
  text.names = {"upper", "middle", "lower"};
  return test::score_of(text);
}

using enum Hearing;

Excerpt heard(const Score& score, std::vector<Hearing> parts, Span span = {{4.0}, {8.0}}) {
  Performance performance = played(score);
  for (std::size_t i = 0; i < score.notes.size(); ++i) {
    performance.notes[i].sounds = parts[score.notes[i].part] != kLeftOut;
    if (parts[score.notes[i].part] == kSilent) {
      performance.notes[i].velocity = Velocity::clamped(1.0);
    }
  }
  return excerpt_of(score, performance, {.span = span, .parts = std::move(parts)});
}

std::string names(const Excerpt& excerpt) {
  std::string text;
  for (const Part& part : excerpt.score.parts) {
    text += fmt::format("{}/{}/{} ", part.name, part.track, part.channel);
  }
  return text;
}

TEST(ExcerptParts, AreGoneWithTheirTracksWhereTheyAreLeftOut) {
  const Score score = three_parts();
  const Excerpt excerpt = heard(score, {kHeard, kLeftOut, kHeard});
  EXPECT_EQ(names(excerpt), "upper/0/0 lower/1/2 ");
  ASSERT_EQ(excerpt.score.tracks.size(), 2u);
  EXPECT_EQ(excerpt.score.tracks[1].name, "lower");
  EXPECT_EQ(excerpt.score.notes.size(), 8u);
  for (const Note& note : excerpt.score.notes) {
    EXPECT_EQ(note.key, test::key_of(note.part == 0 ? "C5" : "C3"));
  }
}

TEST(ExcerptParts, LeaveTheFirstTrackInItsPlace) {
  const Excerpt excerpt = heard(three_parts(), {kLeftOut, kHeard, kHeard});
  EXPECT_EQ(names(excerpt), "middle/1/1 lower/2/2 ");
  EXPECT_EQ(excerpt.score.tracks.size(), 3u);
}

TEST(ExcerptParts, KeepATrackThatAnotherPartNeedsAndOneWithoutNotes) {
  Score score = three_parts();
  score.tracks.insert(score.tracks.begin(), {"conductor", {0.0}});
  score.parts[0].track = 1;
  score.parts[1].track = 1;  // two parts of one track
  score.parts[2].track = 3;
  score.tracks[2].name = "words";  // no notes
  const Excerpt excerpt = heard(score, {kLeftOut, kHeard, kLeftOut});
  EXPECT_EQ(names(excerpt), "middle/1/1 ");
  ASSERT_EQ(excerpt.score.tracks.size(), 3u);
  EXPECT_EQ(excerpt.score.tracks[2].name, "words");
}

TEST(ExcerptParts, TakeTheirMessagesWithThem) {
  Score score = three_parts();
  test::add_message(score, 0.0, 1, {0xFF, 0x03, 'm'});
  test::add_message(score, 0.0, 1, {0xC1, 5});
  test::add_message(score, 0.0, 1, {0xF0, 0x7D, 1, 0xF7});
  test::add_message(score, 0.0, 1, {0xFF, 0x59, 2, 0});
  test::add_message(score, 0.0, 1, {0xB2, 7, 80});  // for a channel that is heard
  test::add_message(score, 5.0, 0, {0xB1, 1, 9});   // for the one that is not
  test::add_message(score, 5.0, 1, {0xFF, 0x05, 'w'});
  test::add_message(score, 5.0, 1, {0xB2, 11, 70});
  test::add_message(score, 6.0, 1, {0xFF, 0x59, 3, 0});
  const Excerpt excerpt = heard(score, {kHeard, kLeftOut, kHeard});
  EXPECT_EQ(messages_text(excerpt),
            "0@0: FF 59 02 00\n0@0: F0 7D 01 F7\n0@0: B2 07 50\n0@1: B2 0B 46\n"
            "0@2: FF 59 03 00\n");
}

TEST(ExcerptParts, LeaveTheMessagesOfAChannelThatAnotherPartUses) {
  Score score = three_parts();
  score.parts[1].channel = 0;
  test::add_message(score, 0.0, 1, {0xC0, 5});
  test::add_message(score, 5.0, 1, {0xB0, 64, 0});
  EXPECT_EQ(messages_text(heard(score, {kHeard, kLeftOut, kHeard})), "0@0: C0 05\n0@1: B0 40 00\n");
}

TEST(ExcerptParts, AreThereAtVelocityOneWhereTheyAreSilentAndTheirOwnChannelIsTurnedDown) {
  Score score = three_parts();
  test::add_message(score, 0.0, 1, {0xC1, 5});
  test::add_message(score, 1.0, 1, {0xB1, 7, 99});
  test::add_message(score, 2.0, 2, {0xB1, 7, 98});  // from elsewhere
  test::add_message(score, 5.0, 1, {0xB1, 7, 97});
  test::add_message(score, 5.0, 1, {0xB1, 10, 96});
  const Excerpt excerpt = heard(score, {kHeard, kSilent, kHeard});
  EXPECT_EQ(messages_text(excerpt), "1@0: C1 05\n1@0: B1 07 00\n1@1: B1 0A 60\n");
  ASSERT_EQ(excerpt.score.notes.size(), 12u);
  for (std::size_t i = 0; i < 12; ++i) {
    EXPECT_EQ(excerpt.performance.notes[i].velocity.value(),
              excerpt.score.notes[i].part == 1 ? 1 : 64);
  }
}

TEST(ExcerptParts, AreSilentWithoutTurningDownAChannelThatIsHeard) {
  Score score = three_parts();
  score.parts[1].channel = 2;
  test::add_message(score, 0.0, 1, {0xB2, 7, 99});
  EXPECT_EQ(messages_text(heard(score, {kHeard, kSilent, kHeard})), "1@0: B2 07 63\n");
}

TEST(ExcerptParts, TurnDownAChannelOnceForTwoSilentParts) {
  Score score = three_parts();
  score.parts[2].channel = 1;
  EXPECT_EQ(messages_text(heard(score, {kHeard, kSilent, kSilent})), "1@0: B1 07 00\n");
}

TEST(ExcerptParts, LeaveTheChannelOfTheClickAsItIsWhereItClicks) {
  Score score = three_parts();
  score.parts[1].channel = 9;
  Performance performance = played(score);
  ExcerptRequest request{.span = {{4.0}, {8.0}}, .parts = {kHeard, kSilent, kHeard}};
  constexpr const char* kTurnedDown = "B9 07 00";
  EXPECT_NE(messages_text(excerpt_of(score, performance, request)).find(kTurnedDown),
            std::string::npos);
  request.click = true;
  EXPECT_EQ(messages_text(excerpt_of(score, performance, request)).find(kTurnedDown),
            std::string::npos);
  request.click = false;
  request.count_in = 1;
  EXPECT_EQ(messages_text(excerpt_of(score, performance, request)).find(kTurnedDown),
            std::string::npos);
}

TEST(ExcerptParts, TurnDownAfterTheInstrumentIsReset) {
  Score score = three_parts();
  test::add_message(score, 0.0, 0, {0xF0, 0x7E, 0x7F, 0x09, 0x01, 0xF7});
  EXPECT_EQ(messages_text(heard(score, {kSilent, kHeard, kHeard})),
            "0@0: F0 7E 7F 09 01 F7\n0@0: B0 07 00\n");
}

constexpr std::vector<Hearing> all_heard() { return {kHeard, kHeard, kHeard}; }

TEST(ExcerptMessages, RestoreTheOpeningInFrontOfTheFirstNotes) {
  Score score = three_parts();
  test::add_message(score, 0.0, 0, {0xFF, 0x01, 't'});
  test::add_message(score, 0.0, 0, {0xC0, 5});
  test::add_message(score, 3.0, 0, {0xB0, 64, 127});
  test::add_message(score, 4.0, 0, {0xB0, 64, 0});
  test::add_message(score, 8.0, 0, {0xB0, 64, 126});  // after the excerpt
  EXPECT_EQ(messages_text(heard(score, all_heard())), "0@0: C0 05\n0@0: B0 40 7F\n0@0: B0 40 00\n");
}

TEST(ExcerptMessages, LiftThePedalsThatTheCutLeavesDown) {
  Score score = three_parts();
  test::add_message(score, 5.0, 0, {0xB0, 64, 127});
  test::add_message(score, 5.0, 1, {0xB1, 66, 127});
  test::add_message(score, 5.0, 2, {0xB2, 64, 127});
  test::add_message(score, 6.0, 2, {0xB2, 64, 0});
  test::add_message(score, 6.0, 2, {0xB2, 67, 127});
  EXPECT_EQ(messages_text(heard(score, all_heard())),
            "0@1: B0 40 7F\n1@1: B1 42 7F\n2@1: B2 40 7F\n2@2: B2 40 00\n2@2: B2 43 7F\n"
            "0@4: B0 40 00\n1@4: B1 42 00\n");
  EXPECT_EQ(messages_text(heard(score, {kHeard, kLeftOut, kHeard})),
            "0@1: B0 40 7F\n1@1: B2 40 7F\n1@2: B2 40 00\n1@2: B2 43 7F\n0@4: B0 40 00\n");
}

TEST(ExcerptMessages, KeepTheKeySignatureOfTheEntryAndThoseThatFollow) {
  Score score = three_parts();
  score.keys = {{{0.0}, 1, false}, {{3.0}, 2, true}, {{6.0}, -1, false}, {{8.0}, 0, false}};
  const Excerpt excerpt = heard(score, all_heard());
  ASSERT_EQ(excerpt.score.keys.size(), 2u);
  EXPECT_EQ(excerpt.score.keys[0].at.value, 0.0);
  EXPECT_EQ(excerpt.score.keys[0].sharps, 2);
  EXPECT_TRUE(excerpt.score.keys[0].minor);
  EXPECT_EQ(excerpt.score.keys[1].at.value, 2.0);
  EXPECT_EQ(excerpt.score.keys[1].sharps, -1);
}

TEST(ExcerptMessages, SayEachSignatureOnce) {
  Score score = three_parts();
  score.signatures = {{{0.0}, {4, 4}}, {{4.0}, {2, 4}}, {{6.0}, {4, 4}}};
  score.bars = Bars::of(score.signatures, score.end());
  test::add_message(score, 0.0, 0, {0xFF, 0x58, 4, 2, 24, 8});
  test::add_message(score, 4.0, 0, {0xFF, 0x58, 2, 2, 24, 8});
  test::add_message(score, 6.0, 0, {0xFF, 0x58, 4, 2, 24, 8});
  const Excerpt excerpt = heard(score, all_heard());
  std::string text;
  for (const Message& message : excerpt.score.messages) {
    text +=
        fmt::format("{}: {}\n", message.at.value, test::hex_text(excerpt.score.bytes_of(message)));
  }
  EXPECT_EQ(text, "0: FF 58 02 02 18 08\n2: FF 58 04 02 18 08\n");
}

}  // namespace
}  // namespace arsis
