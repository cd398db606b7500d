// Every complaint and every doubt of a plan laid over a score, word for word.
#include <gtest/gtest.h>

#include <span>
#include <string>
#include <vector>

#include "plan/plan_text.h"
#include "score_builder.h"

namespace arsis {
namespace {

using test::binding_complaints;
using test::repeated;
using test::score_of;
using test::ScoreText;

// Its plan goes on after "arsis" and "score", lines 1 and 2.
using Row = test::ComplaintRow;

// Two hands in 4/4, quarter notes from 1:3 to 4:4.
Score two_hands() {
  return score_of(ScoreText{.parts = {"r/2 " + repeated("C5", 14), "r/2 " + repeated("C3", 14)},
                            .names = {"right hand", "left hand"}});
}

void expect_messages(std::span<const Row> rows, const Score& score) {
  for (const Row& row : rows) {
    EXPECT_EQ(binding_complaints("arsis: 1\nscore: a.mid\n" + row.plan + "\n", score), row.messages)
        << row.plan;
  }
}

const std::string kCovers = "motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [u / u]}]\n";

TEST(BindMessages, TellWhereBlocksDoNotFit) {
  const Row rows[] = {
      {"sentences: [{phrases: [u /]}]",
       {"p:3:13: it is not said where the first motif starts; add motif: {length: 1 bar, from: "
        "1:1}"}},
      {"sentences: [{from: 1:3, phrases: [u /]}]",
       {"p:3:35: the length of this motif is not said; add motif: {length: 1 bar, from: 1:1} to "
        "the plan, or to: to the motif"}},
      {"motif: {length: 1 bar, from: 9:1}\nsentences: [{phrases: [u /]}]",
       {"p:3:30: there is no 9:1 in the score; it goes from 1:1 to the end of bar 4"}},
      {"motif: {length: 1 bar, from: 0:3}\nsentences: [{phrases: [u /]}]",
       {"p:3:30: there is no 0:3 in the score; it goes from 1:1 to the end of bar 4"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [u / u, u /], main: 1}]",
       {"p:4:31: this motif starts at 4:5, past the last bar; the score ends at 4:5"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [u /]}, {phrases: [/], from: "
       "3:2}]",
       {"p:4:52: sentence 2 starts at 3:2, inside sentence 1, which ends at 3:3; start it there or "
        "later"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [{motifs: [{to: 2:3}, {to: 2:2, "
       "main: true}]}]}]",
       {"p:4:45: this motif would end at 2:2, at or before its start at 2:3; end it later"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [{motifs: [{to: 2:3}, {to: 5:2, "
       "main: true}]}]}]",
       {"p:4:50: there is no 5:2 in the score; it goes from 1:1 to the end of bar 4"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [{motifs: [{to: 2:3, goal: 2:3}, "
       "/]}]}]",
       {"p:4:12: warning: 12 notes from 3:3 to 4:4 belong to no block; they are played without a "
        "shape",
        "p:4:50: the goal 2:3 lies outside its motif; the motif goes from 1:3 to before 2:3"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [{motifs: [{to: 2:3, goal: 7:3}, "
       "/]}]}]",
       {"p:4:12: warning: 12 notes from 3:3 to 4:4 belong to no block; they are played without a "
        "shape",
        "p:4:50: there is no 7:3 in the score; it goes from 1:1 to the end of bar 4"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [/ u]}, {like: 1}]",
       {"p:4:31: warning: motif 2.1.2 (4:3 to 4:5) crosses no bar line; motifs commonly lead over "
        "one; start the cell on the upbeat before it"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [u /]}]\npickup: 5 beats",
       {"p:5:9: the pickup is longer than a bar; a bar is 4 beats; leave 'pickup:' out where there "
        "is none"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [u / u]}]\nmarks: [{at: 9:1, "
       "mark: accent}, {at: 8:1, mark: breath}]",
       {"p:5:14: there is no 9:1 in the score; it goes from 1:1 to the end of bar 4",
        "p:5:39: there is no 8:1 in the score; it goes from 1:1 to the end of bar 4"}},
  };
  expect_messages(rows, two_hands());
}

TEST(BindMessages, QuestionWhatIsUncommon) {
  const Row rows[] = {
      {"motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u /, / u], main: 2}]",
       {"p:4:24: warning: motif 1.1.1 (1:1 to 2:1) and 3 more cross no bar line; motifs commonly "
        "lead over one; start the cell on the upbeat before it"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [{motifs: [{to: 2:1}, u, /]}]}]",
       {"p:4:12: warning: 8 notes from 4:1 to 4:4 belong to no block; they are played without a "
        "shape",
        "p:4:34: warning: motif 1.1.1 (1:3 to 2:1) and 2 more cross no bar line; motifs commonly "
        "lead over one; start the cell on the upbeat before it"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [/]}, {phrases: [u / u]}]",
       {"p:4:24: warning: phrase 1.1 holds 1 motif; two or three are common",
        "p:4:40: warning: motif 2.1.3 (4:3 to 4:5) crosses no bar line; motifs commonly lead over "
        "one; start the cell on the upbeat before it"}},
      {"motif: {length: 1/2 bar, from: 1:4}\nsentences: [{phrases: [/, /, /, u / u], main: 4}]",
       {"p:4:12: warning: 2 notes at 1:3 belong to no block; they are played without a "
        "shape",
        "p:4:13: warning: sentence 1 holds 4 phrases; two or three are common",
        "p:4:24: warning: phrase 1.1 holds 1 motif; two or three are common",
        "p:4:27: warning: motif 1.2.1 (2:2 to 2:4) and 2 more cross no bar line; motifs commonly "
        "lead over one; start the cell on the upbeat before it",
        "p:4:27: warning: phrase 1.2 holds 1 motif; two or three are common",
        "p:4:30: warning: phrase 1.3 holds 1 motif; two or three are common"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [u /]}]",
       {"p:4:12: warning: 12 notes from 3:3 to 4:4 belong to no block; they are played without a "
        "shape"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [/]}, {phrases: [/], from: 3:4}]",
       {"p:4:12: warning: 10 notes from 2:3 to 3:3 belong to no block; they are played without a "
        "shape",
        "p:4:24: warning: phrase 1.1 holds 1 motif; two or three are common",
        "p:4:40: warning: phrase 2.1 holds 1 motif; two or three are common"}},
      {"motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [/]}, {phrases: [{motifs: [{to: "
       "3:1}, /]}]}]",
       {"p:4:12: warning: 8 notes from 4:1 to 4:4 belong to no block; they are played without a "
        "shape",
        "p:4:24: warning: phrase 1.1 holds 1 motif; two or three are common",
        "p:4:50: warning: motif 2.1.1 (2:3 to 3:1) and 1 more cross no bar line; motifs commonly "
        "lead over one; start the cell on the upbeat before it"}},
  };
  expect_messages(rows, two_hands());
}

TEST(BindMessages, TellWhatIsWrongWithParts) {
  const Row rows[] = {
      {kCovers + "parts: [{name: violin, role: melody}]",
       {"p:5:9: the score has no notes for 'violin'; it has track 1 channel 1 ('right hand'), "
        "track 2 channel 2 ('left hand'); name one by track: and channel:"}},
      {kCovers + "parts: [{name: violin, track: 3, role: melody}]",
       {"p:5:9: the score has no notes for 'violin'; it has track 1 channel 1 ('right hand'), "
        "track 2 channel 2 ('left hand'); name one by track: and channel:"}},
      {kCovers + "parts: [{name: left hand, role: accompaniment}, {name: right hand, role: bass}]",
       {"p:5:9: no part has the role melody; blocks lead along a melody; give one part role: "
        "melody"}},
      {kCovers + "parts: [{name: right hand, role: melody}]",
       {"p:5:9: warning: track 2 channel 2 ('left hand') belongs to no part; it is played as "
        "accompaniment; name it under 'parts:'"}},
      {kCovers +
           "parts: [{name: all, channel: 1, role: melody}, {name: again, track: 1, role: bass}]",
       {"p:5:48: 'again' and 'all' are the same notes: track 1 channel 1 ('right hand'); give each "
        "part its own track or channel"}},
      {kCovers + "marks: [{at: 1:1, mark: accent, part: left}]",
       {"p:5:9: there is no part 'left'; list the parts under 'parts:'"}},
      {kCovers + "parts: [{name: right hand, role: melody}, {name: left hand, role: bass}]\nmarks: "
                 "[{at: 1:1, mark: accent, part: left}]",
       {"p:6:9: there is no part 'left'; choose right hand or left hand"}},
  };
  expect_messages(rows, two_hands());
}

TEST(BindMessages, TellWhatIsWrongWithDynamics) {
  const Row rows[] = {
      {kCovers + "dynamics: [{at: 9:1, mark: p}]",
       {"p:5:17: there is no 9:1 in the score; it goes from 1:1 to the end of bar 4"}},
      {kCovers + "dynamics: [{from: 2:1, to: 2:1, hairpin: dim}]",
       {"p:5:28: the hairpin ends at 2:1, not after its beginning at 2:1; end it later"}},
      {kCovers + "dynamics: [{at: 1:1, mark: p}, {from: 2:1, to: 1:1, hairpin: dim}]",
       {"p:5:48: the hairpin ends at 1:1, not after its beginning at 2:1; end it later"}},
      {kCovers + "dynamics: [{at: 1:1, mark: p}, {at: 1:1, mark: f}]",
       {"p:5:32: two marks at 1:1; the other is in line 5; keep one"}},
      {kCovers + "dynamics: [{at: 1:1, mark: p}, {from: 1:1, to: 3:1, hairpin: cresc}, {at: 2:1, "
                 "mark: f}]",
       {"p:5:70: this lies inside the hairpin of line 5; end that one by 2:1"}},
      {kCovers + "dynamics: [{at: 1:1, mark: p}, {from: 1:1, to: 3:1, hairpin: cresc}, {from: 2:1, "
                 "to: 4:1, hairpin: dim}]",
       {"p:5:70: this lies inside the hairpin of line 5; end that one by 2:1"}},
      {kCovers + "dynamics: [{at: 2:1, mark: p}]",
       {"p:5:12: warning: no dynamic is written before 2:1; mf is taken; add a mark at the "
        "beginning"}},
      {kCovers + "dynamics: [{from: 1:1, to: 2:1, hairpin: cresc}]",
       {"p:5:12: warning: no dynamic is written before 1:1; mf is taken; add a mark at the "
        "beginning"}},
      {kCovers + "dynamics: [{at: 1:1, mark: f}, {from: 1:1, to: 2:1, hairpin: cresc, mark: p}]",
       {"p:5:32: warning: this crescendo does not end louder than it begins; check the marks at "
        "both its ends"}},
      {kCovers +
           "dynamics: [{at: 1:1, mark: p}, {from: 1:1, to: 2:1, hairpin: dim}, {at: 2:1, mark: p}]",
       {"p:5:32: warning: this diminuendo does not end softer than it begins; check the marks at "
        "both its ends"}},
      {kCovers + "dynamics: [{at: 1:1, mark: p, part: left}]",
       {"p:5:12: there is no part 'left'; list the parts under 'parts:'"}},
      {kCovers + "parts: [{name: right hand, role: melody}, {name: left hand, role: "
                 "bass}]\ndynamics: [{from: 1:1, to: 2:1, hairpin: dim, part: left hand}]",
       {"p:6:12: warning: no dynamic is written before 1:1; mf is taken; add a mark at the "
        "beginning"}},
      {kCovers +
           "dynamics: [{at: 1:1, mark: mf}, {at: 2:1, mark: p}]\nmarks: [{at: 2:1, mark: fp}]",
       {"p:6:9: two marks at 2:1; the other is in line 5; keep one"}},
  };
  expect_messages(rows, two_hands());
}

TEST(BindMessages, TellWhatIsWrongWithMarks) {
  const Row rows[] = {
      {kCovers + "marks: [{at: 9:1, mark: accent}]",
       {"p:5:14: there is no 9:1 in the score; it goes from 1:1 to the end of bar 4"}},
      {kCovers + "marks: [{at: 9:1, mark: fp}]",
       {"p:5:14: there is no 9:1 in the score; it goes from 1:1 to the end of bar 4"}},
      {kCovers + "marks: [{from: 2:1, to: 1:1, mark: tenuto}]",
       {"p:5:25: the marks end at 1:1, before they begin at 2:1; end them later"}},
      {kCovers + "marks: [{at: 2:1.5, mark: tenuto}]",
       {"p:5:9: warning: no note starts at 2:1.5; the mark is not heard; check its place and "
        "part"}},
      {kCovers + "marks: [{from: 2:1.25, to: 2:1.75, mark: tenuto}]",
       {"p:5:9: warning: no note starts between 2:1.25 and 2:1.75; the mark is not heard; check "
        "its place and part"}},
      {kCovers + "marks: [{at: 2:1, mark: fp, part: left}]",
       {"p:5:9: there is no part 'left'; list the parts under 'parts:'"}},
  };
  expect_messages(rows, two_hands());
}

TEST(BindMessages, QuestionMotifsOfRests) {
  const Row rows[] = {
      {"motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u / u]}]",
       {"p:4:12: warning: a note at 4:3 belongs to no block; it is played without a shape",
        "p:4:24: warning: motif 1.1.2 (2:1 to 3:1) holds no melody note; its goal is its last "
        "onset in any part; say goal: if it is elsewhere",
        "p:4:24: warning: motif 1.1.1 (1:1 to 2:1) and 2 more cross no bar line; motifs commonly "
        "lead over one; start the cell on the upbeat before it"}},
  };
  expect_messages(rows, score_of("C5/4 r/4 D5/4 r/2 E5/2"));
}

TEST(BindMessages, AcceptMotifsAsLongAsTheirChangingBars) {
  const Score score =
      score_of(ScoreText{.parts = {"r/3 " + repeated("C5", 18)},
                         .signatures = {{{0.0}, {4, 4}}, {{8.0}, {3, 4}}, {{14.0}, {4, 4}}}});
  EXPECT_EQ(binding_complaints("arsis: 1\nscore: a.mid\nmotif: {length: 1 bar, from: 1:4}\n"
                               "sentences: [{phrases: [u / u]}, {phrases: [u /]}]\n",
                               score),
            std::vector<std::string>{});
}

TEST(BindMessages, QuestionMotifsThatABarCutShortMakesUneven) {
  const Score score = score_of(ScoreText{.parts = {"r/3 " + repeated("C5", 19)},
                                         .signatures = {{{0.0}, {4, 4}}, {{6.0}, {4, 4}}}});
  EXPECT_EQ(
      binding_complaints("arsis: 1\nscore: a.mid\nmotif: {length: 1 bar, from: 1:4}\n"
                         "sentences: [{phrases: [u / u]}, {phrases: [u /]}]\n",
                         score),
      (std::vector<std::string>{
          "p:4:24: warning: motif 1.1.2 (2:2 to 3:4) is longer than the one before; if that is "
          "meant, write its end with to:, or the cell anew with from:"}));
}

TEST(BindMessages, AcceptACellSetAnew) {
  const std::string plan =
      "arsis: 1\nscore: a.mid\nmotif: {length: 1 bar, from: 1:3}\n"
      "sentences: [{phrases: [u /]}, {length: 6 beats, phrases: [{motifs: [/]}]}]\n";
  EXPECT_EQ(binding_complaints(plan, two_hands()),
            std::vector<std::string>{
                "p:4:59: warning: phrase 2.1 holds 1 motif; two or three are common"});
}

TEST(BindMessages, NeverLetDoubtsCrowdOutAnError) {
  ScoreText text;
  for (int i = 0; i < 150; ++i) text.parts.push_back(repeated("C5", 16));
  const auto messages = binding_complaints(
      "arsis: 1\nscore: a.mid\nparts: [{name: first, track: 1, role: melody}]\n"
      "motif: {length: 1 bar, from: 1:3}\nsentences: [{phrases: [u / u u u]}]\n",
      score_of(text));
  EXPECT_EQ(messages.size(), 101u);
  EXPECT_EQ(messages.back(),
            "p:5:24: this motif starts at 4:5, past the last bar; the score ends at 4:5");
}

TEST(BindMessages, BoundTheMotifsOfSentencesThatAreLikeOthers) {
  std::string plan =
      "arsis: 1\nscore: a.mid\nmotif: {length: 0.01 beats, from: 1:1}\nsentences:\n"
      "  - {phrases: [/" +
      std::string(999, 'u') + "]}\n";
  for (int i = 0; i < 200; ++i) plan += "  - {like: 1}\n";
  const auto messages = binding_complaints(plan, score_of("C5/2100"));
  EXPECT_EQ(messages,
            std::vector<std::string>{"p:205:5: too many motifs; at most 200000 are read"});
}

TEST(BindMessages, TellHowOftenABarIsPlayed) {
  // Bars 1, 2, 1 again, 3.
  Score score = two_hands();
  std::vector<Bar> bars;
  for (const auto& [number, pass] :
       {std::pair(1, 1), std::pair(2, 1), std::pair(1, 2), std::pair(3, 1)}) {
    const Beats begin{4.0 * static_cast<double>(bars.size())};
    bars.push_back({number, pass, {begin, begin + Beats{4.0}}, begin, {}});
  }
  score.bars = Bars::from(std::move(bars));
  const Row rows[] = {
      {"motif: {length: 4 bars, from: 1:1}\nsentences: [{phrases: [/]}]\n"
       "marks: [{at: 1:3/3rd, mark: accent}, {at: 2:1/2nd, mark: accent}]",
       {"p:4:24: warning: phrase 1.1 holds 1 motif; two or three are common",
        "p:5:14: there is no 1:3/3rd in the score; bar 1 is played 2 times",
        "p:5:43: there is no 2:1/2nd in the score; bar 2 is played once"}}};
  expect_messages(rows, score);
}

TEST(BindMessages, BoundTheWorkOfMarks) {
  std::string plan = "arsis: 1\nscore: a.mid\n" + kCovers + "marks:\n";
  for (int i = 0; i < 4500; ++i) plan += "  - {from: 1:3, to: 1251:1, mark: staccato}\n";
  const auto messages = binding_complaints(plan, score_of("r/2 " + repeated("C5", 5000)));
  ASSERT_EQ(messages.size(), 2u);
  EXPECT_TRUE(messages[1].ends_with("the marks cover too many notes; mark each note once"))
      << messages[1];
}

}  // namespace
}  // namespace arsis
