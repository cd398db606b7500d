// PDF and PNG, read by others: poppler's tools and cairo's reader.
#include "page/printing.h"

#include <cairo.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <regex>

#include "page/drawn.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::demo;
using test::Drawing;
using test::even_piece;
using test::Folder;

std::string text_of(const Bytes& bytes) { return {bytes.begin(), bytes.end()}; }

Bytes pdf(const Drawing& drawing, const std::string& title, Paper paper = kA4) {
  const auto sheets = draw_pages(drawing.picture(title), drawing.whole(), paper);
  return *pdf_of(*sheets, title);
}

// What a tool of poppler (package poppler-utils) says of the PDF.
std::string said(const std::string& tool, const Bytes& bytes) {
  const Folder folder;
  folder.write("page.pdf", text_of(bytes));
  const std::string at = "cd '" + folder.path().string() + "' && ";
  EXPECT_EQ(std::system((at + tool + " >out 2>&1").c_str()), 0) << tool;
  return folder.read("out");
}

TEST(Pdf, HasItsPagesOfPaperAndItsTitle) {
  struct Row {
    Paper paper;
    std::string size;  // as pdfinfo names it
  };
  for (const Row& row :
       {Row{kA4, "595.276 x 841.89 pts (A4)"}, Row{kLetter, "612 x 792 pts (letter)"}}) {
    const Drawing drawing = demo("lantern-song");
    const auto sheets = draw_pages(drawing.picture(), drawing.whole(), row.paper);
    const std::string info = said("pdfinfo page.pdf", pdf(drawing, "Lantern <Song>", row.paper));
    EXPECT_NE(info.find("Lantern <Song>"), std::string::npos) << info;
    EXPECT_NE(info.find(row.size), std::string::npos) << info;
    EXPECT_TRUE(
        std::regex_search(info, std::regex("Pages: +" + std::to_string(sheets->size()) + "\n")))
        << info;
  }
}

TEST(Pdf, HasItsWordsAsText) {
  const std::string text =
      said("pdftotext -layout page.pdf -", pdf(demo("lantern-song"), "Lantern Song"));
  for (const char* word : {"Lantern Song", "1.1.2", "6.3", "mf", "pp", "= 80", "dB"}) {
    EXPECT_NE(text.find(word), std::string::npos) << word;
  }
}

TEST(Pdf, TakesItsFontsAlong) {
  const std::string fonts = said("pdffonts page.pdf", pdf(demo("lantern-song"), "Lantern Song"));
  EXPECT_NE(fonts.find("GentiumBookBasic"), std::string::npos) << fonts;
  EXPECT_FALSE(std::regex_search(fonts, std::regex(" no +(yes|no) +(yes|no) +\\d"))) << fonts;
}

// As they are set and not as they are reckoned: no word off the page, no two over each other.
TEST(Pdf, HasNoWordOverAnother) {
  for (const char* name : {"lantern-song", "ferry-study", "mill-round"}) {
    const std::string boxes =
        said("pdftotext -bbox page.pdf out.html && cat out.html", pdf(demo(name), name));
    const std::regex word(
        "(<page )|<word xMin=\"([-.0-9]+)\" yMin=\"([-.0-9]+)\" xMax=\"([-.0-9]+)\" "
        "yMax=\"([-.0-9]+)\">([^<]*)");
    struct Word {
      double left, top, right, bottom;
      std::string text;
    };
    std::vector<Word> words;
    int seen = 0;
    for (std::sregex_iterator it(boxes.begin(), boxes.end(), word), end; it != end; ++it) {
      if ((*it)[1].matched) {
        words.clear();
        continue;
      }
      const auto number = [&](std::size_t group) { return *parse_number((*it)[group].str()); };
      // Boxes have the font's full height; its letters' is about half of that.
      const double inset = (number(5) - number(3)) * 0.25;
      const Word own = {number(2), number(3) + inset, number(4), number(5) - inset, (*it)[6]};
      EXPECT_GE(own.left, 28.0) << own.text;
      EXPECT_LE(own.right, 595.3 - 28.0) << own.text;
      for (const Word& other : words) {
        const bool over = own.left < other.right && other.left < own.right &&
                          own.top < other.bottom && other.top < own.bottom;
        EXPECT_FALSE(over) << name << ": " << own.text << " and " << other.text;
      }
      words.push_back(own);
      ++seen;
    }
    EXPECT_GT(seen, 100);
  }
}

TEST(Pdf, IsTheSameForTheSameInput) {
  const Drawing drawing = even_piece(16);
  EXPECT_EQ(pdf(drawing, "Same"), pdf(drawing, "Same"));
}

struct Image {
  int width = 0;
  int height = 0;
  int inked = 0;  // of its pixels: not white
};

Image image_of(const Bytes& bytes) {
  const Folder folder;
  folder.write("page.png", text_of(bytes));
  cairo_surface_t* surface =
      cairo_image_surface_create_from_png((folder.path() / "page.png").string().c_str());
  Image image = {cairo_image_surface_get_width(surface), cairo_image_surface_get_height(surface),
                 0};
  const unsigned char* data = cairo_image_surface_get_data(surface);
  const int stride = cairo_image_surface_get_stride(surface);
  for (int y = 0; y < image.height; ++y) {
    for (int x = 0; x < image.width; ++x) image.inked += data[y * stride + x * 4] < 255 ? 1 : 0;
  }
  cairo_surface_destroy(surface);
  return image;
}

TEST(Png, HasThePapersWidthInDots) {
  const Drawing drawing = even_piece(8);
  const auto sheet = draw_sheet(drawing.picture(), drawing.whole(), kA4);
  const auto png = png_of(*sheet);
  ASSERT_TRUE(png);
  const Image image = image_of(*png);
  EXPECT_EQ(image.width, 1240);  // 210 mm at 150 dots an inch
  EXPECT_NEAR(image.height, sheet->height.value / 25.4 * 150.0, 0.5);
  EXPECT_GT(image.inked, 10'000);
  EXPECT_EQ(*png, *png_of(*sheet));
}

TEST(Png, IsCoarserWhereItWouldBeTooTallAndRefusesWhatWouldNotBeRead) {
  Sheet sheet{
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1 100\"/>", {35.0}, {3500.0}};
  const auto png = png_of(sheet);
  ASSERT_TRUE(png);
  EXPECT_EQ(image_of(*png).height, kMostRows);
  sheet.height = {8000.0};
  const auto refused = png_of(sheet);
  ASSERT_FALSE(refused);
  EXPECT_EQ(
      to_string(refused.diagnostics().front()),
      "a picture 8.0 m tall is too large; write .pdf, or draw a passage, with --from and --to");
}

TEST(Pictures, SayWhereASheetCannotBeRead) {
  const Sheet broken{"<svg", {100.0}, {100.0}};
  EXPECT_FALSE(png_of(broken));
  EXPECT_FALSE(pdf_of(std::vector<Sheet>{broken}, "x"));
}

}  // namespace
}  // namespace arsis
