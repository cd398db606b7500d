// Sheets of paper: what stands on them and how much.
#include "page/sheet.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>

#include "page/drawn.h"
#include "page/evidence_remarks.h"
#include "property.h"
#include "shape/random_music.h"

namespace arsis {
namespace {

using test::bound;
using test::demo;
using test::Drawing;
using test::even_piece;
using test::holds;
using test::Mark;
using test::marks_of;

// The systems on a sheet, and whether each lies wholly on it with at least 10 mm of margin.
struct Found {
  std::size_t systems = 0;
  bool clipped = false;
  bool overlap = false;
};

Found found_on(const Sheet& sheet) {
  Found found;
  std::vector<Box> views;
  for (const Mark& mark : marks_of(sheet.svg)) {
    for (const Point& point : mark.points) {
      found.clipped |= point.x.value < 10.0 || point.x > sheet.width - Millimetres{10.0} ||
                       point.y.value < 5.0 || point.y > sheet.height - Millimetres{5.0};
      found.clipped |= point.y < mark.view.corner.y ||
                       point.y > mark.view.corner.y + mark.view.height + Millimetres{0.02};
    }
    const bool known = std::ranges::any_of(
        views, [&](const Box& view) { return view.corner.y == mark.view.corner.y; });
    if (!known && mark.view.width < sheet.width) views.push_back(mark.view);
  }
  found.systems = views.size();
  for (std::size_t i = 1; i < views.size(); ++i) {
    found.overlap |= views[i].corner.y < views[i - 1].corner.y + views[i - 1].height;
  }
  return found;
}

TEST(Sheets, HoldThreeSystemsOrMoreAndClipNone) {
  for (const Paper& paper : {kA4, kLetter, landscape(kA4), landscape(kLetter)}) {
    for (const char* name : {"lantern-song", "ferry-study", "mill-round"}) {
      SCOPED_TRACE(std::string(name) + " on " + std::string(paper.name));
      const Drawing drawing = demo(name);
      const auto sheets = draw_pages(drawing.picture(), drawing.whole(), paper);
      ASSERT_TRUE(sheets);
      for (std::size_t i = 0; i < sheets->size(); ++i) {
        EXPECT_EQ((*sheets)[i].width, paper.width);
        EXPECT_EQ((*sheets)[i].height, paper.height);
        const Found found = found_on((*sheets)[i]);
        EXPECT_GE(found.systems, i + 1 < sheets->size() ? 3u : 1u);
        EXPECT_FALSE(found.clipped);
        EXPECT_FALSE(found.overlap);
      }
    }
  }
}

TEST(Sheets, HoldThreeSystemsWithTheEvidenceUpright) {
  for (const char* name : {"lantern-song", "ferry-study", "mill-round"}) {
    const Drawing drawing = demo(name);
    Picture picture = drawing.picture();
    picture.remarks = evidence_remarks({drawing.score, drawing.plan, {}});
    EXPECT_GT(picture.remarks.size(), 10u);
    for (const Paper& paper : {kA4, kLetter}) {
      const auto sheets = draw_pages(picture, drawing.whole(), paper);
      ASSERT_TRUE(sheets);
      EXPECT_GE(found_on(sheets->front()).systems, 3u);
      std::size_t lines = 0;
      for (const Sheet& sheet : *sheets) {
        EXPECT_FALSE(found_on(sheet).clipped);
        EXPECT_FALSE(found_on(sheet).overlap);
        for (const Mark& mark : marks_of(sheet.svg)) lines += mark.is("remark") ? 1 : 0;
      }
      EXPECT_GE(lines, picture.remarks.size() * 2);  // a name and words each
    }
  }
}

TEST(Sheets, LeaveNoSystemAloneWhereFourFitOnAPage) {
  const Drawing drawing = demo("mill-round");
  const auto sheets = draw_pages(drawing.picture(), drawing.whole(), kA4);
  ASSERT_EQ(sheets->size(), 1u);
  EXPECT_EQ(found_on(sheets->front()).systems, 4u);
}

TEST(Sheets, NumberTheirPagesWhereThereAreSeveral) {
  const auto folios = [](int bars) {
    const Drawing drawing = even_piece(bars);
    std::string text;
    const auto sheets = draw_pages(drawing.picture(), drawing.whole(), kA4);
    for (const Sheet& sheet : *sheets) {
      for (const Mark& mark : marks_of(sheet.svg)) {
        if (mark.is("folio")) text += mark.text + " ";
      }
    }
    return text;
  };
  EXPECT_EQ(folios(8), "");
  EXPECT_EQ(folios(32), "1 2 3 ");
}

TEST(Sheet, IsOneTallPictureWithAllSystems) {
  const Drawing drawing = even_piece(40);
  const auto sheet = draw_sheet(drawing.picture(), drawing.whole(), kLetter);
  ASSERT_TRUE(sheet);
  EXPECT_EQ(sheet->width, kLetter.width);
  const Found found = found_on(*sheet);
  EXPECT_EQ(found.systems, 10u);
  EXPECT_FALSE(found.clipped);
  EXPECT_FALSE(found.overlap);
}

TEST(Sheet, StandsWhateverTheWordsInIt) {
  EXPECT_TRUE(holds(200, [](const std::string& title, const std::string& words) {
    const Drawing drawing = even_piece(4);
    Picture picture = drawing.picture(title);
    picture.subtitle = words;
    picture.remarks = {{Level::kPhrase, 0, words}, {Level::kSentence, 0, title}};
    picture.courses.push_back({title, {}, {}});
    const auto sheet = draw_sheet(picture, drawing.whole(), kA4);
    RC_ASSERT(bool{sheet});
    RC_ASSERT(!found_on(*sheet).clipped);
  }));
}

TEST(Sheet, KeepsHostileWordsWithinTheirText) {
  const Drawing drawing = even_piece(4);
  const std::string hostile = "</text></svg><script>alert('x')</script>";
  Picture picture = drawing.picture(hostile);
  picture.subtitle = std::string(5'000, 'W');
  picture.remarks = {{Level::kPhrase, 0, hostile + std::string(3'000, 'W')}};
  const auto sheet = draw_sheet(picture, drawing.whole(), kA4);
  ASSERT_TRUE(sheet);
  EXPECT_EQ(sheet->svg.find("<script"), std::string::npos);
  EXPECT_FALSE(found_on(*sheet).clipped);
  const auto marks = marks_of(sheet->svg);
  EXPECT_EQ(std::ranges::count_if(marks, [&](const Mark& mark) { return mark.text == hostile; }),
            1);
}

TEST(Sheet, NeedsNotes) {
  const Drawing drawing = even_piece(4);
  const auto empty = draw_sheet(drawing.picture(), {{100.0}, {200.0}}, kA4);
  ASSERT_FALSE(empty);
  EXPECT_EQ(to_string(empty.diagnostics().front()),
            "there are no notes to draw; choose a passage with notes");
}

TEST(Lines, FollowOneAnotherNoWiderThanTheyMay) {
  for (const char* name : {"lantern-song", "ferry-study", "mill-round"}) {
    const Drawing drawing = demo(name);
    std::size_t wider = 0;
    for (const Millimetres width : {Millimetres{84.0}, Millimetres{190.0}}) {
      SCOPED_TRACE(std::string(name) + " in " + std::to_string(width.value));
      const auto lines = draw_lines(drawing.picture(), drawing.whole(), width);
      ASSERT_TRUE(lines);
      for (std::size_t i = 0; i < lines->size(); ++i) {
        EXPECT_EQ((*lines)[i].width, width);
        EXPECT_LE((*lines)[i].waypoints.back().x, width);
        if (i == 0) continue;
        EXPECT_EQ((*lines)[i].span.begin, (*lines)[i - 1].span.end);
      }
      EXPECT_NE(lines->size(), wider);
      wider = lines->size();
    }
  }
}

TEST(Lines, NeedNotes) {
  const Drawing drawing = even_piece(4);
  const auto empty = draw_lines(drawing.picture(), {{100.0}, {200.0}}, {84.0});
  ASSERT_FALSE(empty);
  EXPECT_EQ(to_string(empty.diagnostics().front()),
            "there are no notes to draw; choose a passage with notes");
}

TEST(Sheets, RefuseMoreThanAnybodyPrints) {
  const Drawing drawing = test::unplanned(test::score_of(test::repeated("C5/4", 6'000)));
  for (const bool tall : {false, true}) {
    const Diagnostics said =
        tall ? draw_sheet(drawing.picture(), drawing.whole(), kA4).diagnostics()
             : draw_pages(drawing.picture(), drawing.whole(), kA4).diagnostics();
    ASSERT_EQ(said.size(), 1u);
    EXPECT_EQ(to_string(said.front()),
              "the music takes 1000 lines, too many for pages; draw a passage of at most 600, with "
              "--from and --to");
  }
}

TEST(Sheets, AreTheSameForTheSameInput) {
  const Drawing drawing = demo("ferry-study");
  const auto once = draw_pages(drawing.picture(), drawing.whole(), kA4);
  const auto again = draw_pages(drawing.picture(), drawing.whole(), kA4);
  ASSERT_EQ(once->size(), again->size());
  for (std::size_t i = 0; i < once->size(); ++i) EXPECT_EQ((*once)[i].svg, (*again)[i].svg);
}

}  // namespace
}  // namespace arsis
