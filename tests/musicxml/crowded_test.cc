// Files with more of one thing than any score has: each is read in time that grows with its size,
// and in bounded memory. What was quadratic once would not come to its end here.
#include <gtest/gtest.h>

#include "musicxml/score_text.h"

namespace arsis {
namespace {

using namespace test;  // NOLINT: the notation of the tables

constexpr int kMany = 200'000;
const std::string kDaCapo =
    "<direction><direction-type><words>D.C.</words></direction-type></direction>";

std::string times(int count, const std::string& text) {
  std::string all;
  all.reserve(static_cast<std::size_t>(count) * text.size());
  for (int i = 0; i < count; ++i) all += text;
  return all;
}

std::string marked(const std::string& types, const std::string& after = "") {
  return "<direction><direction-type>" + types + "</direction-type>" + after + "</direction>";
}

TEST(CrowdedPage, KeepsOneOfManyMarksAtOneMoment) {
  const auto read = played_of(
      score_text({kFour + marked("<dynamics>" + times(kMany, "<p/>") + "<f/></dynamics>") + kBar}));
  ASSERT_TRUE(read);
  ASSERT_EQ(read->printed.dynamics.size(), 1u);
  EXPECT_EQ(read->printed.dynamics[0].step, 1);
}

TEST(CrowdedPage, EndsManyOpenHairpinsOfOneMoment) {
  const auto read =
      played_of(score_text({kFour + times(kMany, marked("<words>cresc.</words>")) + kBar}));
  ASSERT_TRUE(read);
  ASSERT_EQ(read->printed.dynamics.size(), 1u);
  EXPECT_EQ(read->printed.dynamics[0].to, Beats{4.0});
}

TEST(CrowdedPage, ReadsManyWordsAndCodasOfOneDirection) {
  const auto read = played_of(score_text(
      {kFour + marked(times(kMany, "<words>rit.</words><coda/>"), times(kMany, "<sound/>")) +
       kBar}));
  ASSERT_TRUE(read);
  EXPECT_EQ(read->score.notes.size(), 1u);
}

TEST(CrowdedPage, RefusesATimeSignatureOfManyBeats) {
  const std::string beats = times(kMany, "<beats>1</beats>") + "<beat-type>4</beat-type>";
  const auto read = played_of(score_text({attributes(1, "<time>" + beats + "</time>") + kBar}));
  ASSERT_TRUE(read);
  EXPECT_NE(messages_of(read.diagnostics()).find("a time signature is none"), std::string::npos);
}

TEST(CrowdedPage, ClosesHairpinsOfManyStaves) {
  std::string body = kFour;
  for (int staff = 1; staff <= kMany; ++staff) {
    body += marked("<wedge type='crescendo' number='1'/>",
                   "<staff>" + std::to_string(staff) + "</staff>");
  }
  body += times(kMany, marked("<wedge type='stop' number='2'/>"));
  EXPECT_TRUE(played_of(score_text({body + kBar})));
}

TEST(CrowdedPage, CarriesManyHairpinsOverManyMeasures) {
  std::vector<std::string> measures(20'000, kBar);
  measures.front() =
      kFour + times(kMany, marked("<words>cresc.</words><dashes type='start'/>")) + kBar;
  measures.back() = marked("<dashes type='stop'/>") + kBar;
  const auto read = played_of(score_text(measures));
  ASSERT_TRUE(read);
  ASSERT_EQ(read->printed.dynamics.size(), 1u);
  EXPECT_EQ(read->printed.dynamics[0].to, Beats{4.0 * 19'999});
}

// A da capo in each bar plays the first bars again and again: what stands there is there each time.
std::vector<std::string> again_and_again(const std::string& first) {
  std::vector<std::string> measures(400, kDaCapo + kBar);
  measures.front() = kFour + first + kBar;
  return measures;
}

TEST(CrowdedPage, RefusesManySignsThatArePlayedAgainAndAgain) {
  const auto read = played_of(
      score_text(again_and_again(marked("<dynamics>" + times(kMany, "<p/>") + "</dynamics>"))));
  ASSERT_FALSE(read);
  EXPECT_NE(messages_of(read.diagnostics()).find("is too long with its repeats played out"),
            std::string::npos);
}

TEST(CrowdedPage, MakesAnIdForANoteWhoseOwnIsTooLong) {
  std::vector<std::string> measures = again_and_again("");
  measures.front().replace(measures.front().find("<note>"), 6,
                           "<note id='" + std::string(1'000'000, 'x') + "'>");
  const auto read = played_of(score_text(measures));
  ASSERT_TRUE(read);
  EXPECT_EQ(read->printed.note_ids.front(), "arsis-1-1");
}

TEST(CrowdedPage, LeavesOutTheSignsBeyondAMillion) {
  const auto read = played_of(score_text(
      {kFour + marked("<dynamics>" + times(1'000'000, "<p/>") + "<f/></dynamics>") + kBar}));
  ASSERT_TRUE(read);
  EXPECT_EQ(read->printed.dynamics[0].step, -2);
  EXPECT_NE(messages_of(read.diagnostics()).find("more signs than in any score"),
            std::string::npos);
}

TEST(CrowdedPage, CutsLongNames) {
  std::string text = score_text({kFour + kBar});
  text.replace(text.find("Piano"), 5, std::string(999, 'x') + "\xC3\xBC" + "x");
  const auto read = played_of(text);
  ASSERT_TRUE(read);
  EXPECT_EQ(read->score.parts[0].name, std::string(999, 'x'));  // and no half letter
}

TEST(CrowdedPage, RefusesMoreLinesThanAnyScoreHas) {
  const auto read = played_of(std::string(16'000'000, '\n') + score_text({kFour + kBar}));
  ASSERT_FALSE(read);
  EXPECT_EQ(messages_of(read.diagnostics()),
            "x.musicxml: has more lines than any score; 16 million are read\n");
}

TEST(CrowdedPage, SaysWhereDivisionsAreTooFineToBeKept) {
  const auto read = played_of(score_text({attributes(20'160) + n("C5", 20'160)}));
  ASSERT_TRUE(read);
  EXPECT_EQ(read->score.division, 10'080);
  EXPECT_NE(messages_of(read.diagnostics()).find("no common multiple in reach"), std::string::npos);
}

}  // namespace
}  // namespace arsis
