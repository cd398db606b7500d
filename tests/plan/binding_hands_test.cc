// `hand:`, one hand of a track that both share: read, told apart, bound.
#include <gtest/gtest.h>

#include "plan/plan_text.h"
#include "score/hands.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::complaints;
using test::plan_of;
using test::score_of;
using test::ScoreText;
using test::texts_of;

const std::string kHead = "arsis: 1\nscore: a.mid\nparts:\n";
const std::string kSentences = "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u /]}]\n";

// A tune over broken chords in one track, with a flute in a second one.
Score piano_and_flute(bool with_flute) {
  ScoreText text;
  text.parts = {"C5/2 D5/2 E5/2 C5/2",
                "C3/0.5 G3/0.5 E3/0.5 G3/0.5 C3/0.5 G3/0.5 E3/0.5 G3/0.5 "
                "C3/0.5 G3/0.5 E3/0.5 G3/0.5 C3/0.5 G3/0.5 E3/0.5 G3/0.5"};
  if (with_flute) text.parts.emplace_back("G5/4 A5/4");
  Score score = score_of(text);
  for (Note& note : score.notes) note.part = note.part == 2 ? 1 : 0;
  score.parts.erase(score.parts.begin() + 1);
  for (std::size_t i = 0; i < score.parts.size(); ++i) {
    score.parts[i].number = static_cast<int>(i) + 1;
    score.parts[i].channel = static_cast<std::uint8_t>(i);
  }
  return score;
}

std::string roles(const std::string& parts, const Score& score) {
  const Plan plan = plan_of(kHead + parts + kSentences);
  const Score parted = with_plan_hands(score, plan);
  const Result<BoundPlan> bound = bind_plan(plan, parted);
  if (!bound) return to_string(bound.diagnostics().front());
  std::string text;
  for (std::size_t i = 0; i < bound->parts.size(); ++i) {
    int notes = 0;
    for (const Note& note : parted.notes) notes += note.part == i ? 1 : 0;
    text += bound->parts[i].name + " " + std::to_string(notes) + ";";
  }
  return text;
}

struct Row {
  std::string parts;
  std::string roles;
};

TEST(BindHands, NamesTheNotesOfEachHand) {
  const std::vector<Row> rows = {
      {"  - {name: r, hand: right, role: melody}\n  - {name: l, hand: left, role: bass}\n",
       "r 4;l 16;"},
      {"  - {name: r, track: 1, hand: right, role: melody}\n"
       "  - {name: l, channel: 1, hand: left, role: bass}\n",
       "r 4;l 16;"},
      {"  - {name: all, track: 1, role: melody}\n", "all 20;"},
      {"  - {name: r, hand: right, role: melody}\n  - {name: all, track: 1, role: bass}\n",
       "p:5:5: 'all' and 'r' are the same notes: track 1 channel 1 right hand; give each part its "
       "own track or channel"}};
  for (const Row& row : rows) {
    EXPECT_EQ(roles(row.parts, piano_and_flute(false)), row.roles) << row.parts;
  }
}

TEST(BindHands, LeaveOtherTracksAlone) {
  EXPECT_EQ(roles("  - {name: f, track: 2, role: melody}\n"
                  "  - {name: r, track: 1, hand: right, role: accompaniment}\n"
                  "  - {name: l, track: 1, hand: left, role: bass}\n",
                  piano_and_flute(true)),
            "r 4;l 16;f 2;");
}

TEST(BindHands, SayWhatAHandThatHasNoNotesIs) {
  EXPECT_EQ(
      roles("  - {name: r, hand: right, role: melody}\n  - {name: l, hand: left, role: bass}\n",
            score_of("C5 D5 E5 F5 G5/4")),
      "p:5:5: the score has no notes for 'l'; it has track 1 channel 1 right hand; name one by "
      "track: and channel:");
}

// A page's staves are its hands; its score is never told apart.
TEST(BindHands, AreNotFoundWhereTheScoreIsNotToldApart) {
  const Plan plan = plan_of(kHead + "  - {name: r, hand: right, role: melody}\n" + kSentences);
  const Result<BoundPlan> bound = bind_plan(plan, piano_and_flute(false));
  EXPECT_EQ(texts_of(bound.diagnostics()),
            (std::vector<std::string>{
                "p:4:5: the score has no notes for 'r'; it has track 1 channel 1; name one by "
                "track: and channel:"}));
}

TEST(BindHands, AreRightOrLeft) {
  EXPECT_EQ(complaints(kHead + "  - {name: a, hand: both, role: melody}\n" + kSentences),
            (std::vector<std::string>{"p:4:21: hand cannot be 'both'; write right or left"}));
}

}  // namespace
}  // namespace arsis
