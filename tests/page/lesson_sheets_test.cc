// Sheets of questions: everything stands on them, nothing is cut, and a strip of notes tells
// nothing of a plan.
#include "page/lesson_sheets.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <pugixml.hpp>
#include <set>

#include "page/drawn.h"
#include "page/ink.h"
#include "page/question_strip.h"

namespace arsis {
namespace {

using test::demo;
using test::Drawing;
using test::Mark;
using test::marks_of;

std::size_t times(const std::string& text, const std::string& part) {
  std::size_t found = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) {
    ++found;
  }
  return found;
}

Span phrase_of(const Drawing& drawing, std::size_t phrase) {
  return drawing.plan.phrases[phrase].span;
}

std::vector<StripLabel> members(const Drawing& drawing, std::size_t phrase) {
  const Block& block = drawing.plan.phrases[phrase];
  std::vector<StripLabel> labels;
  for (std::uint32_t i = 0; i < block.count; ++i) {
    labels.push_back({drawing.plan.motifs[block.first + i].span, std::string(1, "abc"[i])});
  }
  return labels;
}

TEST(QuestionStrips, ShowNotesAndLettersAndNothingOfThePlan) {
  Drawing drawing = demo("lantern-song");
  const auto strips =
      draw_strips(drawing.picture(), phrase_of(drawing, 0), members(drawing, 0), {170.0});
  ASSERT_EQ(strips.size(), 1u);
  std::set<std::string> classes;
  std::string letters;
  for (const Mark& mark : marks_of(strips[0].svg)) {
    classes.insert(mark.classes);
    if (mark.classes == "ask") letters += mark.text;
    for (const Point& point : mark.points) {
      EXPECT_GE(point.y.value, 0.0) << mark.classes;
      EXPECT_LE(point.y, strips[0].height) << mark.classes;
      EXPECT_LE(point.x, strips[0].width) << mark.classes;
    }
  }
  EXPECT_EQ(letters, "abc");
  EXPECT_EQ(classes.count("melody head"), 1u);
  EXPECT_EQ(classes.count("dynamic") + classes.count("held"), 1u);
  for (const char* of_the_plan : {"curve", "foot", "goal", "drop", "level", "level-line", "tempo",
                                  "ceiling", "divider", "name"}) {
    EXPECT_EQ(classes.count(of_the_plan), 0u) << of_the_plan;
  }
  // Whichever motif leads.
  Drawing other = demo("lantern-song");
  Block& phrase = other.plan.phrases[0];
  phrase.main = phrase.first + (phrase.main - phrase.first + 1) % phrase.count;
  other.plan.sentences[0].main = other.plan.sentences[0].first;
  EXPECT_EQ(draw_strips(other.picture(), phrase_of(other, 0), members(other, 0), {170.0})[0].svg,
            strips[0].svg);
}

TEST(QuestionStrips, MarkAMomentByALine) {
  const Drawing drawing = demo("mill-round");
  const Span span = phrase_of(drawing, 0);
  const Beats middle = drawing.plan.motifs[0].span.end;
  const auto strips =
      draw_strips(drawing.picture(), span, std::vector{StripLabel{{middle, middle}, "a"}}, {170.0});
  ASSERT_EQ(strips.size(), 1u);
  std::vector<Point> line;
  for (const Mark& mark : marks_of(strips[0].svg)) {
    if (mark.classes == "reach") line = mark.points;
  }
  ASSERT_EQ(line.size(), 2u);
  EXPECT_EQ(line[0].x, line[1].x);
  const double share = (middle - span.begin) / (span.end - span.begin);
  const auto& ways = strips[0].waypoints;
  EXPECT_NEAR(line[0].x.value, (ways.front().x + (ways.back().x - ways.front().x) * share).value,
              0.1);
}

TEST(QuestionStrips, TakeAStaffDrawnByOthers) {
  const Drawing drawing = demo("lantern-song");
  const Span span = phrase_of(drawing, 0);
  Millimetres room_asked;
  const FieldSource staves = [&](std::span<const System> systems, Millimetres room) {
    room_asked = room;
    std::vector<std::optional<NoteField>> fields;
    for (const System& system : systems) {
      fields.push_back(
          NoteField{.svg = "<g class=\"engraved\"/>",
                    .width = {100.0},
                    .height = {30.0},
                    .hang = {4.0},
                    .waypoints = {{system.span.begin, {10.0}}, {system.span.end, {100.0}}},
                    .heads = {}});
    }
    return fields;
  };
  const auto plain = draw_strips(drawing.picture(), span, members(drawing, 0), {170.0});
  const auto strips = draw_strips(drawing.picture(), span, members(drawing, 0), {170.0}, staves);
  ASSERT_EQ(strips.size(), 1u);
  EXPECT_EQ(room_asked, strip_room({170.0}));
  EXPECT_EQ(times(strips[0].svg, "class=\"engraved\""), 1u);
  EXPECT_EQ(times(strips[0].svg, "melody head"), 0u);
  EXPECT_NEAR((strips[0].height - plain[0].height).value, 12.0, 1e-9);
  EXPECT_NEAR((strips[0].waypoints.back().x - strips[0].waypoints.front().x).value, 90.0, 1e-9);
}

TEST(QuestionStrips, AreLeftOutWhereThereIsNothingOrTooMuch) {
  const Drawing drawing = demo("lantern-song");
  EXPECT_TRUE(draw_strips(drawing.picture(), {{1000.0}, {1010.0}}, {}, {170.0}).empty());
  EXPECT_TRUE(draw_strips(drawing.picture(), drawing.whole(), {}, {60.0}).empty());
}

QuestionSheet sheet_of(std::size_t count, bool with_answers) {
  const Drawing drawing = demo("lantern-song");
  QuestionSheet sheet;
  sheet.title = "A class <b>\x01&\"'\xff";
  sheet.subtitle = "24 questions";
  sheet.has_name_line = !with_answers;
  sheet.words = {"Listen."};
  for (std::size_t i = 0; i < count; ++i) {
    SheetQuestion question;
    question.number = std::to_string(i + 1);
    question.ask = "Which motif leads? <script>alert(1)</script>";
    question.place = "Lantern Song & Co, bars 0 to 3";
    question.choices = {"motif 1", "motif 2 </ul>", std::string(300, 'x')};
    question.remark = with_answers ? "Heard at 150 %." : "";
    if (with_answers) {
      question.answer = i % 3;
      sheet.answers.push_back(question.number + "a");
    }
    question.picture =
        draw_strips(drawing.picture(), phrase_of(drawing, i % 15), {}, sheet_picture_width(kA4));
    sheet.questions.push_back(std::move(question));
  }
  return sheet;
}

TEST(QuestionSheets, HoldEveryQuestionWhole) {
  for (const Paper& paper : {kA4, kLetter}) {
    for (const bool with_answers : {false, true}) {
      const std::vector<Sheet> pages = draw_question_sheets(sheet_of(24, with_answers), paper);
      EXPECT_GT(pages.size(), 3u);
      EXPECT_LT(pages.size(), 9u);
      std::multiset<std::string> numbers;
      std::size_t boxes = 0;
      std::size_t ticks = 0;
      for (const Sheet& page : pages) {
        EXPECT_EQ(page.width, paper.width);
        pugi::xml_document document;
        ASSERT_TRUE(document.load_buffer(page.svg.data(), page.svg.size()));
        double last = 0.0;  // the lowest point of a box so far: boxes follow one another downwards
        for (const Mark& mark : marks_of(page.svg)) {
          if (mark.classes == "ask" && parse_integer(mark.text)) {
            numbers.insert(mark.text);
          }
          boxes += mark.element == "rect" && mark.classes == "tick" ? 1 : 0;
          ticks += mark.element != "rect" && mark.classes == "tick" ? 1 : 0;
          for (const Point& point : mark.points) {
            EXPECT_GE(point.x.value, 10.0) << mark.classes << mark.text;
            EXPECT_LE(point.x, paper.width - Millimetres{10.0}) << mark.classes << mark.text;
            EXPECT_LE(point.y, paper.height - Millimetres{7.0}) << mark.classes << mark.text;
            if (mark.classes != "tick" || mark.element != "rect") continue;
            EXPECT_GE(point.y.value, last - 4.0);
            last = std::max(last, point.y.value);
          }
        }
      }
      EXPECT_EQ(numbers.size(), 24u);
      EXPECT_EQ(boxes, 72u);
      EXPECT_EQ(ticks, with_answers ? 48u : 0u);
    }
  }
}

// Pictures of so many millimetres on A4, of which 268 are free: what does not fit under the head
// goes to a page of its own, what fits no page is left out, and the boxes are always there.
TEST(QuestionSheets, CutNoHighPicture) {
  struct Row {
    double height;
    std::size_t pages;
    std::size_t pictures;
  };
  for (const auto& [height, pages, pictures] :
       {Row{100.0, 1, 1}, Row{240.0, 2, 1}, Row{260.0, 1, 0}, Row{900.0, 1, 0}}) {
    SCOPED_TRACE(height);
    QuestionSheet sheet;
    sheet.title = "A class";
    sheet.words = {"Listen."};
    SheetQuestion& question = sheet.questions.emplace_back();
    question.number = "1";
    question.ask = "Which motif leads?";
    question.choices = {"motif 1", "motif 2"};
    DrawnSystem& picture = question.picture.emplace_back();
    picture.width = {100.0};
    picture.height = {height};
    Ink ink;
    ink.line("high", {{0.0}, {0.0}}, {{100.0}, {height}});
    picture.svg = svg_of(ink.take(), picture.width, picture.height, false);
    const std::vector<Sheet> drawn = draw_question_sheets(sheet, kA4);
    EXPECT_EQ(drawn.size(), pages);
    std::size_t boxes = 0;
    std::size_t found = 0;
    for (const Sheet& page : drawn) {
      for (const Mark& mark : marks_of(page.svg)) {
        boxes += mark.element == "rect" && mark.classes == "tick" ? 1 : 0;
        found += mark.classes == "high" ? 1 : 0;
        for (const Point& point : mark.points) {
          EXPECT_LE(point.y, kA4.height - Millimetres{7.0}) << mark.classes << mark.text;
        }
      }
    }
    EXPECT_EQ(found, pictures);
    EXPECT_EQ(boxes, 2u);
  }
}

TEST(QuestionSheets, AreAPageThatRunsNothing) {
  const std::string html = question_sheet_html(sheet_of(24, false), kA4);
  EXPECT_NE(html.find("content=\"default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; "
                      "form-action 'none'\""),
            std::string::npos);
  EXPECT_EQ(times(html, "<script"), 0u);
  EXPECT_EQ(times(html, "<b>"), 0u);
  EXPECT_EQ(times(html, "</ul>"), 24u);
  EXPECT_EQ(times(html, "☐"), 72u);
  EXPECT_EQ(times(html, "☒"), 0u);
  EXPECT_EQ(times(html, "<svg "), 24u);
  EXPECT_EQ(times(html, "@page{size:A4 portrait"), 1u);
  const std::string key = question_sheet_html(sheet_of(24, true), kLetter);
  EXPECT_EQ(times(key, "☒"), 24u);
  EXPECT_EQ(times(key, "<span>24a</span>"), 1u);
  EXPECT_EQ(times(key, "@page{size:letter portrait"), 1u);
}

TEST(QuestionSheets, StandEmptyWithoutQuestions) {
  EXPECT_EQ(draw_question_sheets({}, kA4).size(), 1u);
  EXPECT_NE(question_sheet_html({}, kA4).find("<ol>\n</ol>"), std::string::npos);
}

}  // namespace
}  // namespace arsis
