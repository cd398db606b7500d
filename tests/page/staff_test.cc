// The staves of systems: which measures they show, where the score's moments lie in them.
#include "page/staff.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "page/drawn.h"
#include "page/engraved.h"

namespace arsis {
namespace {

using test::answers;
using test::engraved_piece;
using test::excerpt_ids;
using test::kFirstSystem;
using test::kSecondSystem;

std::string shown(const Printed& printed, Span span) {
  const PlayedRange range = measures_in(printed, span);
  std::string text;
  for (std::size_t i = range.first; i < range.first + range.count; ++i) {
    text += std::to_string(printed.measures[i].index);
  }
  return text;
}

TEST(MeasuresOfASystem, AreThoseThatItsSpanTouches) {
  const Printed printed = engraved_piece().printed;  // 0 1 4 7 10 13 16 19 to 22
  struct Row {
    Span span;
    std::string measures;
  };
  const std::vector<Row> rows = {{kFirstSystem, "0123"},
                                 {kSecondSystem, "31234"},
                                 {{{0.0}, {22.0}}, "01231234"},
                                 {{{1.0}, {4.0}}, "1"},
                                 {{{0.0}, {1.0}}, "0"},
                                 {{{3.9}, {4.1}}, "12"},
                                 {{{9.0}, {13.0}}, "31"},
                                 {{{19.0}, {22.0}}, "4"},
                                 {{{21.0}, {99.0}}, "4"},
                                 {{{4.0}, {4.0}}, ""},
                                 {{{1.0 - 1e-9}, {4.0 + 1e-9}}, "1"}};
  for (const Row& row : rows) EXPECT_EQ(shown(printed, row.span), row.measures);
  EXPECT_EQ(shown(Printed{}, kFirstSystem), "");
}

// The kept excerpts are those that the program makes of the piece.
TEST(Staff, HasTheMeasuresOfItsSystemEngraved) {
  const auto texts = test::excerpt_writer().excerpts(
      std::vector<PageExcerptRequest>{{{0, 1, 2, 3}, true}, {{3, 1, 2, 3, 4}, false}});
  ASSERT_TRUE(texts);
  EXPECT_EQ((*texts)[0], test::kept("first.musicxml"));
  EXPECT_EQ((*texts)[1], test::kept("second.musicxml"));
}

struct Drawn {
  PrintedScore piece = engraved_piece();
  Engraving engraving;
  NoteField field;

  Drawn(std::size_t system, Span span, Millimetres width = {500.0}) {
    engraving = *read_engraving(answers()[system], "g", excerpt_ids());
    field = staff_field(engraving, piece.score, piece.printed,
                        {span, measures_in(piece.printed, span), width});
  }
};

// Where the field has the moment.
double x_of(const NoteField& field, double at) { return Axis(field.waypoints).x_at({at}).value; }

TEST(Staff, LeadsItsWaypointsOverItsNotes) {
  struct Row {
    std::size_t system;
    double at;
    std::size_t measure;  // of the engraving
    std::string id;       // of a note that begins then
  };
  const std::vector<Row> rows = {
      {0, 0.0, 0, "upbeat"},     {0, 1.0, 1, "arsis-1-3"},   {0, 3.0, 1, "arsis-1-4"},
      {0, 3.5, 1, "arsis-1-5"},  {0, 5.0, 2, "arsis-1-10"},  {0, 5.0, 2, "arsis-1-13"},
      {0, 7.0, 3, "arsis-1-15"}, {0, 9.0, 3, "arsis-1-16"},  {1, 9.0, 0, "arsis-1-16"},
      {1, 10.0, 1, "arsis-1-6"}, {1, 15.0, 2, "arsis-1-11"}, {1, 18.0, 3, "arsis-1-16"},
      {1, 19.0, 4, "arsis-1-19"}};
  const Drawn first(0, kFirstSystem);
  const Drawn second(1, kSecondSystem);
  const double unit = staff_height(first.piece.score).value / 720.0;  // four spaces of 180
  for (const Row& row : rows) {
    SCOPED_TRACE(row.id);
    const Drawn& drawn = row.system == 0 ? first : second;
    const auto note = std::ranges::find_if(drawn.engraving.notes, [&](const EngravedNote& each) {
      return each.measure == row.measure && each.id == row.id;
    });
    ASSERT_NE(note, drawn.engraving.notes.end());
    EXPECT_NEAR(x_of(drawn.field, row.at), note->x.value * unit, 1e-6);
  }
}

TEST(Staff, LeadsItsWaypointsFromBeginningToEnd) {
  for (const std::size_t system : {0u, 1u}) {
    const Span span = system == 0 ? kFirstSystem : kSecondSystem;
    const NoteField field = Drawn(system, span).field;
    EXPECT_EQ(field.waypoints.front().at, span.begin);
    EXPECT_EQ(field.waypoints.back().at, span.end);
    for (std::size_t i = 1; i < field.waypoints.size(); ++i) {
      EXPECT_LT(field.waypoints[i - 1].at, field.waypoints[i].at);
      EXPECT_LT(field.waypoints[i - 1].x, field.waypoints[i].x);
    }
    EXPECT_LE(field.waypoints.back().x, field.width);
    EXPECT_GT(field.waypoints.front().x, field.hang) << "clefs hang in the margin, not notes";
  }
}

TEST(Staff, KnowsTheHeadOfEveryNoteOfItsMeasures) {
  const Drawn drawn(1, kSecondSystem);
  std::vector<std::uint32_t> expected;
  for (std::uint32_t i = 0; i < drawn.piece.score.notes.size(); ++i) {
    if (drawn.piece.score.notes[i].onset.value >= 7.0) expected.push_back(i);
  }
  std::vector<std::uint32_t> found;
  for (const FieldHead& head : drawn.field.heads) {
    found.push_back(head.note);
    EXPECT_GT(head.y.value, 0.0);
    EXPECT_LT(head.y, drawn.field.height);
  }
  EXPECT_EQ(found, expected);
}

struct Veil {
  double from;
  double to;
};

std::vector<Veil> veils(const NoteField& field) {
  pugi::xml_document document;
  EXPECT_TRUE(document.load_string(field.svg.c_str()));
  const double scale = test::numbers(document.child("g").attribute("transform")).at(0) / 10.0;
  std::vector<Veil> found;
  for (const pugi::xpath_node each : document.select_nodes("//rect[@class='beyond']")) {
    const double x = each.node().attribute("x").as_double() * scale;
    found.push_back({x, x + each.node().attribute("width").as_double() * scale});
  }
  return found;
}

TEST(Staff, DimsWhatBelongsToTheSystemBesideIt) {
  const NoteField first = Drawn(0, kFirstSystem).field;
  ASSERT_EQ(veils(first).size(), 1u);
  EXPECT_GT(veils(first)[0].from, x_of(first, 8.99) - 5.0);
  EXPECT_LT(veils(first)[0].from, x_of(first, 9.0)) << "the upbeat is of the next system";
  EXPECT_NEAR(veils(first)[0].to, first.width.value, 0.1);
  const NoteField second = Drawn(1, kSecondSystem).field;
  ASSERT_EQ(veils(second).size(), 1u);
  EXPECT_LT(veils(second)[0].to, x_of(second, 9.0));
  EXPECT_GT(veils(second)[0].from, 5.0) << "clef and key are not dimmed";
  EXPECT_TRUE(veils(Drawn(0, {{0.0}, {10.0}}).field).empty());
  EXPECT_TRUE(veils(Drawn(1, {{7.0}, {22.0}}).field).empty());
}

TEST(Staff, IsDrawnSmallerWhereItDoesNotFit) {
  const NoteField wide = Drawn(1, kSecondSystem).field;
  const NoteField narrow = Drawn(1, kSecondSystem, {100.0}).field;
  EXPECT_GT(wide.width.value, 100.0);
  EXPECT_NEAR(narrow.width.value, 100.0, 1e-6);
  const double ratio = narrow.width / wide.width;
  EXPECT_NEAR(narrow.height.value, wide.height.value * ratio, 1e-6);
  EXPECT_NEAR(x_of(narrow, 15.0), x_of(wide, 15.0) * ratio, 1e-6);
}

TEST(Staff, TakesTheNotesPlaceInASystem) {
  const Drawn drawn(1, kSecondSystem, {150.0});
  const test::Drawing drawing = test::unplanned(drawn.piece.score);
  Frame frame;
  const DrawnSystem system =
      draw_system(drawing.picture(), {kSecondSystem, {140.0}}, frame, &drawn.field);
  EXPECT_NE(system.svg.find("class=\"staff\""), std::string::npos);
  EXPECT_EQ(system.svg.find("class=\"bar\""), std::string::npos) << "it has bar lines of its own";
  ASSERT_EQ(system.waypoints.size(), drawn.field.waypoints.size());
  const Millimetres shift = system.waypoints[0].x - drawn.field.waypoints[0].x;
  EXPECT_GE(shift.value, 0.0);
  for (std::size_t i = 0; i < system.waypoints.size(); ++i) {
    EXPECT_NEAR((system.waypoints[i].x - drawn.field.waypoints[i].x).value, shift.value, 1e-9);
  }
}

}  // namespace
}  // namespace arsis
