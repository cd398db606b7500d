// What the SVG's text may hold, and how wide words are.
#include "page/ink.h"

#include <cairo.h>
#include <gtest/gtest.h>

#include <memory>
#include <pugixml.hpp>

#include "base/text.h"
#include "property.h"

namespace arsis {
namespace {

using test::holds;

struct EscapeRow {
  std::string text;
  std::string escaped;
};
const EscapeRow kEscapes[] = {
    {"Lantern Song", "Lantern Song"},
    {"a<b>&\"c'", "a&lt;b&gt;&amp;&quot;c&#39;"},
    {"]]>", "]]&gt;"},
    {"<script>alert(1)</script>", "&lt;script&gt;alert(1)&lt;/script&gt;"},
    {std::string("a\0b\x01\x1F\x7F\n\tc", 9), "abc"},
    {"\xC2\x85x", "x"},      // a control of Latin-1
    {"\xEF\xBF\xBFx", "x"},  // U+FFFF: XML 1.0, section 2.2
    {"caf\xC3\xA9", "caf\xC3\xA9"},
    {"\xF0\x9D\x84\x9E", "\xF0\x9D\x84\x9E"},  // a clef
    {"\xC3(", "?("},                           // no UTF-8
    {"\xED\xA0\x80", "???"},                   // a surrogate
};

TEST(Escaped, WritesWhatXmlMayHold) {
  for (const EscapeRow& row : kEscapes) {
    SCOPED_TRACE(row.escaped);
    EXPECT_EQ(escaped(row.text), row.escaped);
  }
}

TEST(Escaped, IsReadBackWhateverTheBytes) {
  EXPECT_TRUE(holds(3'000, [](const std::string& bytes) {
    Ink ink;
    ink.open_group("block", bytes);
    ink.words(TextKind::kTitle, {}, bytes);
    ink.close_group();
    const std::string svg = svg_of(ink.take(), {10.0}, {10.0}, true);
    RC_ASSERT(is_utf8(svg));
    pugi::xml_document document;
    RC_ASSERT(bool{document.load_string(svg.c_str(), pugi::parse_full)});
    RC_ASSERT(document.document_element().child("g").child("text"));
  }));
}

TEST(Ink, WritesTenthsOfAMillimetre) {
  Ink ink;
  ink.line("bar", {{1.0}, {2.346}}, {{-0.05}, {12.0}});
  EXPECT_EQ(ink.take(), "<path class=\"bar\" d=\"M10 23.5L-0.5 120\"/>");
}

TEST(Ink, DrawsNothingOfFewerThanTwoPoints) {
  Ink ink;
  ink.path("curve", std::vector<Point>{{{1.0}, {1.0}}});
  ink.path_data("head", "");
  EXPECT_EQ(ink.take(), "");
}

TEST(Ink, KeepsNumbersThatAreNoneOutOfTheFile) {
  Ink ink;
  ink.circle("goal", {{std::nan("")}, {1e300}}, {0.5});
  EXPECT_EQ(ink.take(), "<circle class=\"goal\" cx=\"0\" cy=\"10000000\" r=\"5\"/>");
}

// Whatever font of the style sheet's list is installed, the words are not wider than reckoned.
// Source of the true widths: cairo 1.16, the fonts themselves.
TEST(TextWidth, IsNoLessThanWhatIsSet) {
  struct Closed {
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
    void operator()(cairo_t* context) const { cairo_destroy(context); }
  };
  const std::unique_ptr<cairo_surface_t, Closed> surface(
      cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1));
  const std::unique_ptr<cairo_t, Closed> context(cairo_create(surface.get()));
  struct Row {
    TextKind kind;
    double size;  // in millimetres, as page_style() has it
    cairo_font_slant_t slant;
    cairo_font_weight_t weight;
  };
  constexpr Row kRows[] = {
      {TextKind::kRemark, 2.6, CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_NORMAL},
      {TextKind::kSubtitle, 2.9, CAIRO_FONT_SLANT_ITALIC, CAIRO_FONT_WEIGHT_NORMAL},
      {TextKind::kSentenceName, 3.0, CAIRO_FONT_SLANT_NORMAL, CAIRO_FONT_WEIGHT_BOLD},
      {TextKind::kDynamic, 3.7, CAIRO_FONT_SLANT_ITALIC, CAIRO_FONT_WEIGHT_BOLD},
  };
  for (const char* font : {"Gentium Book Basic", "DejaVu Serif"}) {
    for (const Row& row : kRows) {
      cairo_select_font_face(context.get(), font, row.slant, row.weight);
      cairo_set_font_size(context.get(), row.size * 100.0);  // large: no rounding to pixels
      for (const char* text : {"1.2.3", "mf", "ppp", "motif 2 leads, tenser harmony (C, D at 3:1)",
                               "THE QUICK BROWN FOX", "the lazy dog; 0.39 behind"}) {
        SCOPED_TRACE(std::string(font) + ": " + text);
        cairo_text_extents_t extents;
        cairo_text_extents(context.get(), text, &extents);
        const double width = text_width(text, row.kind).value;
        EXPECT_GE(width, extents.x_advance / 100.0);
        EXPECT_LE(width, extents.x_advance / 100.0 * 1.6);
      }
    }
  }
}

TEST(Fitted, CutsBetweenLettersAndSaysSo) {
  const std::string text =
      "Gr\xC3\xBC\xC3\x9F"
      "e aus der M\xC3\xBChle";
  EXPECT_EQ(fitted(text, TextKind::kTitle, {500.0}), text);
  for (double width = 8.0; width < 90.0; width += 1.0) {
    const std::string cut = fitted(text, TextKind::kTitle, {width});
    EXPECT_TRUE(is_utf8(cut));
    EXPECT_LE(text_width(cut, TextKind::kTitle).value, width);
    EXPECT_TRUE(cut == text || cut.ends_with("…")) << cut;
  }
}

}  // namespace
}  // namespace arsis
