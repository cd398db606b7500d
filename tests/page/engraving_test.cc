// What the engraving library has drawn is read on answers of it that are kept (engraved/make.sh
// makes them), so that no library is needed; the library itself is asked where it is there.
#include "page/engraving.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <pugixml.hpp>
#include <set>
#include <sstream>

#include "musicxml/excerpt_writer.h"
#include "page/engraved.h"
#include "page/engraver.h"

namespace arsis {
namespace {

using test::answers;
using test::excerpt_ids;
using test::kept;

Engraving engraving_of(std::size_t system) {
  const auto read = read_engraving(answers().at(system), "x", excerpt_ids());
  EXPECT_TRUE(read);
  return read ? *read : Engraving{};
}

pugi::xml_document as_xml(const std::string& elements) {
  pugi::xml_document document;
  EXPECT_TRUE(document.load_string(("<svg>" + elements + "</svg>").c_str()));
  return document;
}

TEST(Engraving, HasEveryNoteOfItsMeasures) {
  struct Row {
    std::size_t system;
    std::vector<std::string> notes;  // measure and id; by element, grace notes with a star
  };
  const std::vector<Row> rows = {
      {0,
       {"0 upbeat", "1 arsis-1-3", "1 arsis-1-4", "1 arsis-1-5", "1 arsis-1-6", "1 arsis-1-7",
        "2 arsis-1-8", "2 arsis-1-9*", "2 arsis-1-10", "2 arsis-1-11", "2 arsis-1-13",
        "2 arsis-1-14", "3 arsis-1-15", "3 arsis-1-16", "3 arsis-1-17", "3 arsis-1-18"}},
      {1, {"0 arsis-1-15", "0 arsis-1-16", "0 arsis-1-17", "0 arsis-1-18", "1 arsis-1-3",
           "1 arsis-1-4",  "1 arsis-1-5",  "1 arsis-1-6",  "1 arsis-1-7",  "2 arsis-1-8",
           "2 arsis-1-9*", "2 arsis-1-10", "2 arsis-1-11", "2 arsis-1-13", "2 arsis-1-14",
           "3 arsis-1-15", "3 arsis-1-16", "3 arsis-1-17", "3 arsis-1-18", "4 arsis-1-19",
           "4 arsis-1-20", "4 arsis-1-21"}}};
  for (const Row& row : rows) {
    std::vector<std::string> found;
    for (const EngravedNote& note : engraving_of(row.system).notes) {
      found.push_back(std::to_string(note.measure) + " " + note.id + (note.small ? "*" : ""));
    }
    std::vector<std::string> expected = row.notes;
    std::ranges::sort(found);
    std::ranges::sort(expected);
    EXPECT_EQ(found, expected);
  }
}

// The places are those of the heads in the library's own file.
TEST(Engraving, FindsTheMiddleOfEachHead) {
  pugi::xml_document svg;
  ASSERT_TRUE(svg.load_string(answers()[0].c_str()));
  const Engraving engraving = engraving_of(0);
  const std::vector<double> margin =
      test::numbers(svg.select_node("//g[@class='page-margin']").node().attribute("transform"));
  for (const auto& [engraved, id] : std::vector<std::pair<std::string, std::string>>{
           {"n0-0-1", "upbeat"}, {"n1-0-3", "arsis-1-3"}, {"n3-0-16", "arsis-1-16"}}) {
    const auto use =
        svg.select_node(("//g[@id='" + engraved + "']/g[@class='notehead']/use").c_str());
    const std::vector<double> head = test::numbers(use.node().attribute("transform"));
    const auto note = std::ranges::find(engraving.notes, id, &EngravedNote::id);
    ASSERT_NE(note, engraving.notes.end()) << id;
    EXPECT_NEAR(note->x.value, margin[0] + head[0] + 113.0, 1e-9) << id;
    EXPECT_NEAR(note->y.value, margin[1] + head[1], 1e-9) << id;
  }
}

TEST(Engraving, HasMeasuresSideBySide) {
  for (const std::size_t system : {0u, 1u}) {
    const Engraving engraving = engraving_of(system);
    ASSERT_EQ(engraving.measures.size(), system == 0 ? 4u : 5u);
    for (std::size_t i = 0; i < engraving.measures.size(); ++i) {
      const EngravedMeasure& measure = engraving.measures[i];
      EXPECT_LE(measure.begin, measure.music);
      EXPECT_LT(measure.music, measure.content);
      if (i == 0) {
        EXPECT_GT(measure.music - measure.begin, kStaffSpace * 3.0) << "clef and key";
      }
      EXPECT_LT(measure.content, measure.end);
      EXPECT_LE(measure.end, engraving.width);
      if (i == 0) continue;
      EXPECT_NEAR(measure.begin.value, engraving.measures[i - 1].end.value, 30.0);
    }
  }
}

// Every glyph that is used is there, and nothing has an id but glyphs.
TEST(Engraving, StandsAloneBesideOthers) {
  for (const std::size_t system : {0u, 1u}) {
    const auto read = read_engraving(answers()[system], "s7g", excerpt_ids());
    ASSERT_TRUE(read);
    const pugi::xml_document glyphs = as_xml(read->glyphs);
    const pugi::xml_document drawing = as_xml(read->drawing);
    std::set<std::string> ids;
    for (const pugi::xpath_node each : glyphs.select_nodes("//@id")) {
      EXPECT_TRUE(ids.insert(each.attribute().value()).second);
      EXPECT_TRUE(std::string(each.attribute().value()).starts_with("s7g"));
    }
    EXPECT_TRUE(drawing.select_nodes("//@id").empty());
    EXPECT_GT(drawing.select_nodes("//use").size(), 20u);
    for (const pugi::xpath_node each : drawing.select_nodes("//use/@href")) {
      EXPECT_TRUE(ids.contains(std::string(each.attribute().value()).substr(1)));
    }
    EXPECT_EQ(drawing.select_nodes("//use").size(), drawing.select_nodes("//use/@href").size());
    EXPECT_EQ(drawing.select_nodes("//g[@class='engraved']/@data-id").size(), read->notes.size());
    EXPECT_TRUE(drawing.select_nodes("//*[@class and @class!='engraved']").empty());
  }
}

// An engraving of a head `inside` the one measure.
std::string svg_with(const std::string& inside, const std::string& defs = "") {
  return "<svg xmlns:xlink='http://www.w3.org/1999/xlink'><defs><g id='E0A4'><path d='M0 0'/></g>" +
         defs +
         "</defs><svg class='definition-scale' viewBox='0 0 900 400'><g class='page-margin' "
         "transform='translate(0, 0)'><g class='measure'><g class='staff'><path d='M0 1 L9 1'/>"
         "<g class='layer'>" +
         inside + "</g></g></g></g></svg></svg>";
}

TEST(Engraving, TakesNothingButShapesAndText) {
  const auto read = read_engraving(
      svg_with("<script>alert(1)</script><g onclick='evil()' style='x' id='evil' class='evil'>"
               "<image href='http://evil'/><a href='evil'><text>evil</text></a>"
               "<text x='1' font-size='9px'>&lt;b&gt; &amp;</text>"
               "<use xlink:href='http://evil#a' transform='x'/><use href='#evil'/>"
               "<foreignObject><text>evil</text></foreignObject></g>"
               "<g id='n0-0-3' class='note'><g class='notehead'><use xlink:href='#E0A4' "
               "transform='translate(50, 60) scale(0.72, 0.72)'/></g></g>",
               "<g id='x'><script/></g><style>evil</style>"),
      "p", [](std::string_view) -> std::optional<EngravedId> {
        return EngravedId{0, "\"><script>&"};
      });
  ASSERT_TRUE(read);
  EXPECT_EQ(read->glyphs, "<path id=\"p0\" d=\"M0 0\"/>");
  EXPECT_EQ(read->drawing,
            "<g transform=\"translate(0, 0)\"><path d=\"M0 1 L9 1\"/>"
            "<text x=\"1\" font-size=\"9px\" stroke=\"none\">&lt;b&gt; &amp;</text>"
            "<g class=\"engraved\" data-id=\"&quot;>&lt;script>&amp;\">"
            "<use href=\"#p0\" transform=\"translate(50, 60) scale(0.72, 0.72)\"/></g></g>");
}

TEST(Engraving, IsRefusedWhereItIsNone) {
  for (const std::string& text :
       {std::string(), std::string("no xml"), std::string("<svg/>"), std::string("<html/>"),
        svg_with("").substr(0, 200),
        std::string("<svg><svg class='definition-scale' viewBox='0 0 0 0'><g class='page-margin'/>"
                    "</svg></svg>"),
        std::string("<svg><svg class='definition-scale' viewBox='0 0 9 9'><g class='page-margin'/>"
                    "</svg></svg>")}) {
    EXPECT_FALSE(read_engraving(text, "p", excerpt_ids())) << text;
  }
  EXPECT_TRUE(read_engraving(svg_with(""), "p", excerpt_ids()));
}

}  // namespace
}  // namespace arsis
