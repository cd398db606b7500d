#include "page/lesson_page.h"

#include <span>
#include <string_view>

#include "page/embedded.h"
#include "page/page_parts.h"

namespace arsis {
namespace {

constexpr std::string_view kPlainTitle = "Listening questions";

constexpr std::string_view kDesk =
    "<section class=\"desk\" aria-label=\"Listening\">\n"
    "<button type=\"button\" id=\"play\">play</button>\n<div class=\"slides\">\n";

// Shown one question at a time; filled by the script.
constexpr std::string_view kQuestion =
    "<section id=\"question\" aria-label=\"Question\" hidden>\n"
    "<p id=\"count\"></p>\n"
    "<fieldset id=\"choices\"><legend><h2 id=\"ask\" dir=\"auto\" tabindex=\"-1\"></h2></legend>\n"
    "<p id=\"place\" dir=\"auto\"></p>\n<div id=\"notes\"></div>\n<div id=\"options\"></div>\n"
    "</fieldset>\n"
    "<p id=\"verdict\" role=\"status\"></p>\n"
    "<p class=\"steps\"><button type=\"button\" id=\"back\">back</button>\n"
    "<button type=\"button\" id=\"answer\">this is my answer</button>\n"
    "<button type=\"button\" id=\"next\">leave it open, next</button></p>\n"
    "<section id=\"after\" aria-label=\"Comparing\" hidden>\n"
    "<div id=\"compare\" role=\"group\" aria-label=\"hear the passage as\"></div>\n"
    "<figure><figcaption id=\"caption\" dir=\"auto\"></figcaption>\n"
    "<div id=\"picture\"></div></figure>\n</section>\n</section>\n";

constexpr std::string_view kResults =
    "<section id=\"results\" aria-label=\"Results\" hidden>\n"
    "<h2 id=\"sum\" tabindex=\"-1\"></h2>\n<p id=\"by-chance\"></p>\n"
    "<div id=\"tables\"></div>\n"
    "<p class=\"who\"><label>your name <input id=\"student\" maxlength=\"80\" "
    "autocomplete=\"off\"></label></p>\n"
    "<p class=\"steps\"><button type=\"button\" id=\"save\">save as CSV</button>\n"
    "<button type=\"button\" id=\"anew\">start over</button></p>\n</section>\n";

constexpr std::string_view kSure =
    "<dialog id=\"sure\" aria-labelledby=\"sure-said\">\n"
    "<p id=\"sure-said\">All answers and the name will be gone.</p>\n"
    "<p class=\"steps\"><button type=\"button\" id=\"keep\">keep them</button>\n"
    "<button type=\"button\" id=\"forget\">start over</button></p>\n</dialog>\n";

constexpr std::string_view kLessonKeys =
    "<footer><details><summary>Keys</summary><dl class=\"keys\">\n"
    "<dt>space</dt><dd>play, pause</dd>\n"
    "<dt>A, B, C ... or 1, 2, 3 ...</dt><dd>choose; once you have answered: hear it that way, at "
    "the "
    "same place</dd>\n"
    "<dt>Enter</dt><dd>answer; then the next question</dd>\n"
    "<dt>N, P</dt><dd>the next question, the previous one</dd>\n"
    "</dl></details></footer>\n";

void add_drawing(std::string& html, std::string_view kind, std::span<const DrawnSystem> wide,
                 std::span<const DrawnSystem> narrow) {
  html += "<template class=\"" + std::string(kind) + "\">\n";
  add_systems(html, "wide", wide);
  add_systems(html, "narrow", narrow);
  html += "</template>\n";
}

void add_body(std::string& html, const LessonPage& page) {
  html += kDesk;
  add_volume(html);
  html += "</div>\n<p id=\"status\" role=\"status\"></p>\n</section>\n";
  add_caution(html);
  html +=
      "<main>\n<noscript><p>This page asks and plays by a script, which this browser does not "
      "run.</p></noscript>\n";
  if (page.items.empty()) html += "<p id=\"none\">There are no questions in this set.</p>\n";
  html +=
      "<nav aria-label=\"Questions\"><ol id=\"strip\"></ol></nav>\n<p "
      "id=\"score\"></p>\n";
  html += kQuestion;
  html += kResults;
  html += "</main>\n";
  html += kSure;
  html += kLessonKeys;
}

}  // namespace

std::string lesson_page(const LessonPage& page, std::string_view data) {
  std::string html;
  const std::string_view title = page.title.empty() ? kPlainTitle : page.title;
  add_head(html, title, kLessonScript);
  html += "<body>\n";
  add_header(html, title, page.subtitle);
  add_body(html, page);
  for (const LessonItem& item : page.items) {
    add_drawing(html, "notes", item.notes, item.notes_narrow);
    for (const LessonChoice& choice : item.choices) {
      add_drawing(html, "drawing", choice.picture, choice.narrow);
    }
  }
  add_data(html, data);
  for (const LessonItem& item : page.items) {
    for (const LessonChoice& choice : item.choices) add_sound(html, choice.opus);
  }
  add_end(html, kLessonScript);
  return html;
}

}  // namespace arsis
