// The listening page as a file: everything in it, nothing from outside, and no text of a plan more
// than text. What it does in a browser is tests/browser's.
#include "page/listening_page.h"

#include <gtest/gtest.h>

#include <cstddef>
#include <regex>
#include <string>
#include <vector>

namespace arsis {
namespace {

constexpr const char* kHostile = "</script><img src=x onerror=\"go()\"><!--'&";

DrawnSystem system_of(const std::string& name) {
  DrawnSystem system;
  system.span = {{0.0}, {12.0}};
  system.svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"" + name + "\"></svg>";
  system.width = {190.0};
  system.height = {60.0};
  system.waypoints = {{{0.0}, {10.0}}, {{12.0}, {188.0}}};
  return system;
}

class Listening : public ::testing::Test {
 protected:
  Listening() {
    page_.title = "Lantern Song";
    page_.voices = {{"flat", {1, 2, 3}}, {"shaped", {4, 5, 6}}};
    page_.voice = 1;
    page_.wide = wide_;
    page_.narrow = narrow_;
    page_.data = R"({"voices":[]})";
  }

  std::string html() const { return listening_page(page_); }

  static std::size_t count(const std::string& text, const std::string& word) {
    std::size_t found = 0;
    for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
      ++found;
    }
    return found;
  }

  std::vector<DrawnSystem> wide_ = {system_of("one"), system_of("two")};
  std::vector<DrawnSystem> narrow_ = {system_of("three")};
  ListeningPage page_;
};

TEST_F(Listening, HasAllItsParts) {
  const std::string text = html();
  EXPECT_TRUE(text.starts_with("<!doctype html>\n<html lang=\"en\">"));
  EXPECT_EQ(count(text, "<title>Lantern Song</title>"), 1u);
  EXPECT_EQ(count(text, "<div class=\"system\"><svg"), 3u);
  EXPECT_LT(text.find("class=\"one\""), text.find("class=\"two\""));
  EXPECT_LT(text.find("<div class=\"systems wide\">"), text.find("<div class=\"systems narrow\">"));
  EXPECT_EQ(count(text, "class=\"sound\">AQID</script>"), 1u);
  EXPECT_EQ(count(text, "class=\"sound\">BAUG</script>"), 1u);
  EXPECT_EQ(count(text, "id=\"data\">{\"voices\":[]}</script>"), 1u);
  for (const char* id : {"play", "loop", "speed", "volume", "status", "data"}) {
    EXPECT_EQ(count(text, std::string("id=\"") + id + "\""), 1u) << id;
  }
  EXPECT_EQ(count(text, "value=\"1\" checked><span>shaped</span>"), 1u);
  EXPECT_EQ(count(text, " checked>"), 1u);
  EXPECT_EQ(count(text, "comfortable level"), 1u);
}

TEST_F(Listening, AsksNothingOfANetwork) {
  const std::string text = std::regex_replace(html(), std::regex("xmlns=\"[^\"]*\""), "");
  EXPECT_EQ(count(text, "http://") + count(text, "https://"), 0u);
  EXPECT_EQ(count(text, " src=") + count(text, " href=") + count(text, "url("), 0u);
  EXPECT_EQ(count(text, "@import"), 0u);
  EXPECT_EQ(count(text, "fetch("), 0u);
  EXPECT_EQ(count(text, "default-src 'none'; script-src 'sha256-"), 1u);
}

TEST_F(Listening, TakesEveryTextForText) {
  const std::string before = html();
  page_.title = page_.subtitle = page_.voices[0].label = kHostile;
  page_.data = std::string(R"({"a":"</script><script>go()</script><!--"})");
  const std::string text = html();
  EXPECT_EQ(count(text, "<img"), 0u);
  EXPECT_EQ(count(text, "<!--"), 0u);
  EXPECT_EQ(count(text, "<script"), count(before, "<script"));
  EXPECT_EQ(count(text, "</script"), count(before, "</script"));
  // The title twice (as title and as heading), the line under it, the label.
  EXPECT_EQ(
      count(text, "&lt;/script&gt;&lt;img src=x onerror=&quot;go()&quot;&gt;&lt;!--&#39;&amp;"),
      4u);
}

TEST_F(Listening, HasNoLineUnderTheTitleWhereThereIsNone) {
  EXPECT_EQ(count(html(), "class=\"under\""), 0u);
  page_.subtitle = "bars 1 to 8";
  EXPECT_EQ(count(html(), "<p class=\"under\" dir=\"auto\">bars 1 to 8</p>"), 1u);
}

TEST_F(Listening, HasAScriptThatNoTextOfItCanEnd) {
  const std::string text = html();
  const std::size_t begin = text.find("<script>(() => {\n'use strict';");
  ASSERT_NE(begin, std::string::npos);
  const std::size_t end = text.find("</script", begin);
  EXPECT_EQ(text.substr(end), "</script>\n</body>\n</html>\n");
}

}  // namespace
}  // namespace arsis
