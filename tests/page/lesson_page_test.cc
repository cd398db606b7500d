// The lesson page as a file: everything in it, nothing from outside, no text more than text, and no
// answer to be read by the way. What it does in a browser is tests/browser's. Base64 and SHA-256
// are glib's.
#include "page/lesson_page.h"

#include <glib.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <memory>
#include <regex>
#include <string>
#include <vector>

#include "page/small_lesson.h"

namespace arsis {
namespace {

constexpr const char* kData = R"({"items":[],"a":"</script><script>go()</script><!--"})";

std::string html_of(const LessonPage& page) { return lesson_page(page, kData); }

TEST(LessonPage, HasAllItsParts) {
  const std::string html = html_of(small_lesson());
  EXPECT_TRUE(html.starts_with("<!doctype html>\n<html lang=\"en\">"));
  EXPECT_EQ(count_of(html, "<title>A class that listens</title>"), 1u);
  EXPECT_EQ(count_of(html, "class=\"under\""), 0u);
  EXPECT_EQ(count_of(html, "comfortable level"), 1u);
  EXPECT_EQ(count_of(html, "id=\"none\""), 0u);
  for (const char* id :
       {"play",  "volume",  "status",  "strip",   "score",   "question", "count",   "ask",
        "place", "choices", "notes",   "options", "answer",  "back",     "next",    "verdict",
        "after", "compare", "caption", "picture", "results", "tables",   "student", "save",
        "anew",  "sure",    "keep",    "forget",  "data"}) {
    EXPECT_EQ(count_of(html, std::string(" id=\"") + id + "\""), 1u) << id;
  }
}

TEST(LessonPage, HasSoundsAndDrawingsOfAllChoicesInTheirOrder) {
  const LessonPage page = small_lesson();
  const std::string html = html_of(page);
  const auto sounds = all_between(html, "class=\"sound\">", "</script>");
  const auto drawings = all_between(html, "<template class=\"drawing\">", "</template>");
  ASSERT_EQ(sounds.size(), 5u);
  ASSERT_EQ(drawings.size(), 5u);
  std::size_t at = 0;
  for (const LessonItem& item : page.items) {
    for (const LessonChoice& choice : item.choices) {
      gsize size = 0;
      const std::unique_ptr<guchar, decltype(&g_free)> bytes(
          g_base64_decode(sounds[at].c_str(), &size), g_free);
      EXPECT_EQ(Bytes(bytes.get(), bytes.get() + size), choice.opus) << choice.label;
      const std::size_t wide = drawings[at].find("class=\"wide-" + choice.label);
      const std::size_t narrow = drawings[at].find("class=\"narrow-" + choice.label);
      EXPECT_LT(drawings[at].find("systems wide"), wide);
      EXPECT_LT(wide, drawings[at].find("systems narrow"));
      EXPECT_LT(drawings[at].find("systems narrow"), narrow);
      EXPECT_NE(narrow, std::string::npos);
      ++at;
    }
  }
}

TEST(LessonPage, HasTheNotesOfEachItem) {
  const auto notes =
      all_between(html_of(small_lesson()), "<template class=\"notes\">", "</template>");
  ASSERT_EQ(notes.size(), 2u);
  EXPECT_LT(notes[0].find("systems wide"), notes[0].find("class=\"wide-notes"));
  EXPECT_LT(notes[0].find("systems narrow"), notes[0].find("class=\"narrow-notes"));
  EXPECT_EQ(count_of(notes[0], "<svg"), 2u);
  EXPECT_EQ(count_of(notes[1], "<svg"), 0u);
}

TEST(LessonPage, LetsOnlyItsOwnScriptRunAndNothingLoad) {
  const std::string html = html_of(small_lesson());
  const std::string script = all_between(html, "<script>", "</script>").at(0);
  ASSERT_TRUE(script.starts_with("(() => {\n'use strict';"));
  EXPECT_TRUE(html.ends_with(script + "</script>\n</body>\n</html>\n"));
  GChecksum* sum = g_checksum_new(G_CHECKSUM_SHA256);
  g_checksum_update(sum, reinterpret_cast<const guchar*>(script.data()),
                    static_cast<gssize>(script.size()));
  std::uint8_t digest[32];
  gsize size = sizeof digest;
  g_checksum_get_digest(sum, digest, &size);
  g_checksum_free(sum);
  const std::unique_ptr<gchar, decltype(&g_free)> coded(g_base64_encode(digest, size), g_free);
  EXPECT_EQ(count_of(html, std::string("default-src 'none'; script-src 'sha256-") + coded.get() +
                               "'; style-src"),
            1u);
  const std::string plain = std::regex_replace(html, std::regex("xmlns=\"[^\"]*\""), "");
  for (const char* word :
       {"http://", "https://", " src=", " href=", "url(", "@import", "fetch(", "XMLHttpRequest"}) {
    EXPECT_EQ(count_of(plain, word), 0u) << word;
  }
}

TEST(LessonPage, TakesEveryTextForText) {
  const std::string before = html_of(small_lesson());
  LessonPage page = small_lesson();
  page.title = page.subtitle = kUnfriendlyText;
  for (LessonItem& item : page.items) {
    item.ask = item.place = kUnfriendlyText;
    for (LessonChoice& choice : item.choices) choice.label = kUnfriendlyText;
  }
  const std::string html = html_of(page);
  EXPECT_EQ(count_of(html, "<img"), 0u);
  EXPECT_EQ(count_of(html, "<!--"), 0u);
  for (const char* word : {"<script", "</script", "<template", "</template", "\xff"}) {
    EXPECT_EQ(count_of(html, word), count_of(before, word)) << word;
  }
  EXPECT_EQ(count_of(html,
                     "&lt;/script&gt;&lt;/template&gt;&lt;img src=x onerror=&quot;go()&quot;"
                     "&gt;&lt;!--&#39;&amp;?"),
            3u);  // twice the title, and the line under it
  EXPECT_EQ(count_of(html, "id=\"data\">{\"items\":[],\"a\":\"\\u003c/script>"), 1u);
}

TEST(LessonPage, SaysSoWhereThereAreNoQuestions) {
  LessonPage page;
  const std::string html = html_of(page);
  EXPECT_EQ(count_of(html, "There are no questions in this set."), 1u);
}

TEST(LessonPage, HasAPlainTitleWhereThereIsNone) {
  const std::string html = html_of({});
  EXPECT_EQ(count_of(html, "<title>Listening questions</title>"), 1u);
  EXPECT_EQ(count_of(html, ">Listening questions</h1>"), 1u);
}

TEST(LessonPage, IsTheSameForTheSameSet) {
  EXPECT_EQ(html_of(small_lesson()), html_of(small_lesson()));
}

TEST(LessonPage, HasNoAnswerBesideItsData) {
  LessonPage other = small_lesson();
  other.items[0].answer = 2;
  other.items[1].answer = 1;
  EXPECT_EQ(html_of(small_lesson()), html_of(other));
}

// By the way: whoever takes the mark for the answer is right no more often than by chance.
TEST(LessonPage, HasMarksThatTellNothingByThemselves) {
  for (const std::size_t choices : {2u, 3u, 4u}) {
    SCOPED_TRACE(choices);
    std::vector<std::size_t> often(choices, 0);
    constexpr std::size_t kCases = 3000;
    for (std::size_t i = 0; i < kCases; ++i) {
      const std::string sum = std::to_string(i / 24);
      ++often[hidden_answer(sum, i % 24, 0, choices)];
    }
    for (const std::size_t each : often) {
      EXPECT_NEAR(static_cast<double>(each), kCases / static_cast<double>(choices), 150.0);
    }
  }
}

struct HiddenRow {
  const char* sum;
  std::size_t item, answer, choices, hidden;
};
// Reckoned apart, in Python, by the formula of the header.
constexpr HiddenRow kHidden[] = {
    {"a", 0, 0, 3, 2},
    {"0123456789abcdef", 7, 1, 4, 1},
    {"cbf29ce484222325", 23, 0, 2, 0},
    {"cbf29ce484222325", 199, 3, 9, 3},
};

TEST(LessonPage, HidesAnAnswerByTheSumOfSetAndItem) {
  for (const auto& [sum, item, answer, choices, hidden] : kHidden) {
    EXPECT_EQ(hidden_answer(sum, item, answer, choices), hidden) << sum << ":" << item;
  }
  for (std::size_t choices = 1; choices <= kMostLessonChoices; ++choices) {
    std::vector<bool> seen(choices, false);
    for (std::size_t answer = 0; answer < choices; ++answer) {
      seen[hidden_answer("0123456789abcdef", 7, answer, choices)] = true;
    }
    EXPECT_TRUE(std::ranges::all_of(seen, [](bool each) { return each; })) << choices;
  }
}

struct Change {
  const char* what;
  void (*make)(LessonPage&);
};
constexpr Change kChanges[] = {
    {"title", [](LessonPage& page) { page.title += "!"; }},
    {"border between two texts",
     [](LessonPage& page) {
       page.items[0].ask += "L";
       page.items[0].place.erase(0, 1);
     }},
    {"answer", [](LessonPage& page) { page.items[0].answer = 2; }},
    {"amount", [](LessonPage& page) { page.items[1].amount = 0.5; }},
    {"sound", [](LessonPage& page) { page.items[1].choices[1].opus[1] ^= 1; }},
    {"label", [](LessonPage& page) { page.items[1].choices[0].label = "even"; }},
    {"order", [](LessonPage& page) { std::swap(page.items[0], page.items[1]); }},
    {"fewer", [](LessonPage& page) { page.items.pop_back(); }},
};

TEST(LessonSum, IsAnotherWhereAnythingIs) {
  const std::string sum = lesson_sum(small_lesson());
  EXPECT_TRUE(std::regex_match(sum, std::regex("[0-9a-f]{16}")));
  EXPECT_EQ(lesson_sum(small_lesson()), sum);
  for (const Change& change : kChanges) {
    LessonPage page = small_lesson();
    change.make(page);
    EXPECT_NE(lesson_sum(page), sum) << change.what;
  }
}

}  // namespace
}  // namespace arsis
