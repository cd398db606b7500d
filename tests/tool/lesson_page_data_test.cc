// What a lesson page's script is told.
#include "tool/lesson_page_data.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "page/small_lesson.h"

namespace arsis {
namespace {

using Json = nlohmann::json;

Json told_of(const LessonPage& page) { return Json::parse(lesson_page_data(page)); }

TEST(LessonPageData, TellsTheScriptWhatItAsks) {
  const LessonPage page = small_lesson();
  const Json data = told_of(page);
  EXPECT_EQ(data["sum"], lesson_sum(page));
  EXPECT_EQ(data["sampleRate"], 24'000);
  ASSERT_EQ(data["items"].size(), 2u);
  const Json& item = data["items"][0];
  EXPECT_EQ(item["ask"], "Which motif leads?");
  EXPECT_EQ(item["place"], "Lantern Song, bars 1 to 3");
  EXPECT_EQ(item["amount"], 200.0);
  EXPECT_EQ(data["items"][1]["amount"], 50.5);
  EXPECT_EQ(item["begin"], 4.0);
  const Json& choice = item["choices"][2];
  EXPECT_EQ(choice["label"], "three");
  EXPECT_EQ(choice["length"], 5.25);
  // Seconds, then beats of the score.
  EXPECT_EQ(choice["map"], (Json{0.5, 4.0, 4.5, 12.0}));
  EXPECT_EQ(choice["systems"]["wide"][0]["ways"], (Json{4.0, 10.0, 12.0, 188.0}));
  EXPECT_EQ(choice["systems"]["narrow"][0]["end"], 12.0);
}

TEST(LessonPageData, GoesOnAtATempoWhereAMapHasOneKnot) {
  LessonPage page = small_lesson();
  page.items[0].choices[0].time = TimeMap();
  const Json data = told_of(page);
  EXPECT_EQ(data["items"][0]["choices"][0]["map"], (Json{0.0, 4.0, 0.5, 5.0}));
}

// Of the data only the sum and the mark depend on an answer.
TEST(LessonPageData, TellsAnAnswerByTheMarkAlone) {
  const Json usual = told_of(small_lesson());
  for (const std::size_t answer : {0u, 2u}) {
    LessonPage changed = small_lesson();
    changed.items[0].answer = answer;
    Json other = told_of(changed);
    EXPECT_NE(other["sum"], usual["sum"]);
    EXPECT_EQ(other["items"][0]["mark"], hidden_answer(lesson_sum(changed), 0, answer, 3));
    other["sum"] = usual["sum"];
    for (std::size_t i = 0; i < 2; ++i) other["items"][i]["mark"] = usual["items"][i]["mark"];
    EXPECT_EQ(other, usual);
  }
}

TEST(LessonPageData, KeepsEveryTextThatIsOne) {
  LessonPage page = small_lesson();
  page.items[1].choices[0].label = kUnfriendlyText;
  const std::string label = told_of(page)["items"][1]["choices"][0]["label"];
  EXPECT_EQ(label, "</script></template><img src=x onerror=\"go()\"><!--'&\xEF\xBF\xBD");
}

TEST(LessonPageData, HasNoItemsWhereThereAreNone) {
  EXPECT_EQ(told_of({})["items"], Json::array());
}

}  // namespace
}  // namespace arsis
