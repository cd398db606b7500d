// Roles of parts, and hands of demo scores that are pressed into one track.
#include "draft/roles.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

#include "plan/plan_reader.h"
#include "score/hands.h"
#include "score_builder.h"
#include "smf/score_reader.h"

namespace arsis {
namespace {

using test::repeated;
using test::score_of;
using test::ScoreText;

std::vector<std::string> told(const Score& score) {
  std::vector<std::string> texts;
  for (const DraftedPart& part : drafted_parts(score)) {
    texts.push_back(part.plan.name + ": " +
                    std::string(kRoleNames[static_cast<std::size_t>(part.plan.role)]));
  }
  return texts;
}

struct Row {
  const char* what;
  std::vector<std::string> parts;
  std::vector<std::string> names;
  std::vector<std::string> roles;
};

const std::vector<Row>& rows() {
  static const std::vector<Row> kRows = {
      {"two hands",
       {"C3/4 G3/4", "C5 D5 E5 F5 G5/4"},
       {},
       {"track 1: accompaniment", "melody: melody"}},
      {"a single line under chords is no melody because it is single",
       {"C5+E5+G5/2 D5+F5+A5/2 C5+E5+G5/4", "C3 E3 G3 E3 C3/4"},
       {"right hand", "left hand"},
       {"right hand: melody", "left hand: accompaniment"}},
      {"a voice under the piano's chords",
       {"E4 F4 G4 A4 G4/4", "C5+E5/1 C5+F5 C5+E5 C5+F5 C5+E5/4", "C3/4 C3/4"},
       {"voice", "right hand", "left hand"},
       {"voice: melody", "right hand: accompaniment", "left hand: bass"}},
      {"four voices",
       {"C5 D5 E5 F5", "G4 A4 B4 C5", "E4 F4 G4 A4", "C3 D3 E3 F3"},
       {"soprano", "alto", "tenor", "bass"},
       {"soprano: melody", "alto: accompaniment", "tenor: accompaniment", "bass: bass"}},
      {"broken chords in the lowest of three are no bass if chords",
       {"C5 D5 E5 F5", "G4 A4 B4 C5", "C3+G3 D3+A3 E3+B3 F3+C4"},
       {"a", "b", "c"},
       {"a: melody", "b: accompaniment", "c: accompaniment"}},
      {"octaves count as single notes",
       {"C5 D5 E5 F5", "G4 A4 B4 C5", "C2+C3 D2+D3 E2+E3 F2+F3"},
       {"a", "b", "c"},
       {"a: melody", "b: accompaniment", "c: bass"}},
      {"three of one name",
       {"C5 D5", "C4 D4", "C3 D3"},
       {"x", "x", "x"},
       {"x: melody", "x, track 2: accompaniment", "x, track 3: bass"}},
      {"names that no plan can hold",
       {"C5 D5", "C4 D4"},
       {"a\x01\nb", "  "},
       {"a??b: melody", "track 2: accompaniment"}}};
  return kRows;
}

TEST(Roles, AreFoundFromRegisterLineAndName) {
  for (const Row& row : rows()) {
    SCOPED_TRACE(row.what);
    EXPECT_EQ(told(score_of(ScoreText{.parts = row.parts, .names = row.names})), row.roles);
  }
}

TEST(Roles, OfChannelsOfOneTrackHaveTheirNumbers) {
  Score score = score_of(ScoreText{.parts = {"C5 D5", "C4 D4", "C3 D3"}});
  for (Part& part : score.parts) part.number = 1;
  EXPECT_EQ(told(score), (std::vector<std::string>{"melody: melody", "track 1: accompaniment",
                                                   "track 1, channel 3: bass"}));
}

TEST(Roles, ArePlayedOnTheirTracksAndChannels) {
  const std::vector<DraftedPart> parts =
      drafted_parts(score_of(ScoreText{.parts = {"C5 D5", "C3 D3"}}));
  ASSERT_EQ(parts.size(), 2u);
  EXPECT_EQ(parts[1].plan.track, 2);
  EXPECT_EQ(parts[1].plan.channel, 2);
  EXPECT_EQ(parts[1].plan.hand, Hand::kBoth);
  EXPECT_EQ(parts[0].words, "highest for 100 % of the time");
}

TEST(Roles, OfPercussionAreNeverTheMelody) {
  Score score = score_of(ScoreText{.parts = {"C7 C7 C7 C7", "C4 D4 E4 F4"}});
  score.parts[0].channel = kDrumChannel;
  EXPECT_EQ(told(score), (std::vector<std::string>{"track 1: accompaniment", "melody: melody"}));
  EXPECT_TRUE(has_pitches(score));
  score.parts[1].channel = kDrumChannel;
  EXPECT_FALSE(has_pitches(score));
}

TEST(Roles, AreAtMostAsManyAsAPlanHolds) {
  ScoreText text;
  for (int i = 0; i < 300; ++i) text.parts.push_back(i == 280 ? "C6/4" : "C3/4");
  const std::vector<DraftedPart> parts = drafted_parts(score_of(text));
  EXPECT_EQ(parts.size(), 256u);
  EXPECT_EQ(std::ranges::count_if(
                parts, [](const DraftedPart& part) { return part.plan.role == Role::kMelody; }),
            1);
  EXPECT_EQ(parts.back().plan.track, 281);
}

TEST(Roles, TellHandsApartInASinglePitchedPart) {
  const std::string both = repeated("C3+G3+C5+E5", 8);
  const Score parted = with_drafted_hands(score_of(both));
  ASSERT_EQ(parted.parts.size(), 2u);
  EXPECT_EQ(told(parted),
            (std::vector<std::string>{"right hand: melody", "left hand: accompaniment"}));
  EXPECT_EQ(drafted_parts(parted)[1].plan.hand, Hand::kLeft);
  Score with_drums = score_of(ScoreText{.parts = {both, "C2"}});
  EXPECT_EQ(with_drafted_hands(with_drums).parts.size(), 2u);
  with_drums.parts[1].channel = kDrumChannel;
  EXPECT_EQ(with_drafted_hands(with_drums).parts.size(), 3u);
  EXPECT_EQ(with_drafted_hands(score_of("C5 D5 E5")).parts.size(), 1u);
}

// Our own scores with both hands in one part, as a file of one track has them.
TEST(Roles, FindTheHandsOfOurOwnPiecesAgain) {
  std::size_t right = 0;
  std::size_t all = 0;
  for (const std::string name : {"lantern-song", "ferry-study", "mill-round"}) {
    Result<Score> score =
        read_score(std::filesystem::path(ARSIS_SOURCE_DIR) / "examples" / (name + ".mid"));
    ASSERT_TRUE(score);
    ASSERT_EQ(score->parts.size(), 2u);
    std::vector<bool> wanted;
    for (Note& note : score->notes) {
      wanted.push_back(note.part == 0);
      note.part = 0;
    }
    score->parts.resize(1);
    EXPECT_TRUE(needs_two_hands(*score, 0)) << name;
    const std::vector<bool> found = right_hand_notes(*score, 0);
    std::size_t agree = 0;
    for (std::size_t i = 0; i < wanted.size(); ++i) agree += found[i] == wanted[i] ? 1 : 0;
    std::printf("%s: %zu of %zu notes in the hand that has them\n", name.c_str(), agree,
                wanted.size());
    right += agree;
    all += wanted.size();
  }
  EXPECT_GE(static_cast<double>(right), 0.97 * static_cast<double>(all));
}

}  // namespace
}  // namespace arsis
