// One system: everything of it in its place.
#include "page/system.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <set>

#include "page/drawn.h"
#include "property.h"
#include "shape/arc.h"
#include "shape/ceiling.h"
#include "shape/random_music.h"

namespace arsis {
namespace {

using test::bound;
using test::demo;
using test::Drawing;
using test::drawn_systems;
using test::even_piece;
using test::holds;
using test::Mark;
using test::marks_of;
using test::only;

constexpr double kGrain = 0.011;  // millimetres: what writing rounds away

bool lies_in(const Mark& mark) {
  return std::ranges::all_of(mark.points, [&](const Point& point) {
    const Point in = {point.x - mark.view.corner.x, point.y - mark.view.corner.y};
    return in.x.value >= -kGrain && in.y.value >= -kGrain &&
           in.x.value <= mark.view.width.value + kGrain &&
           in.y.value <= mark.view.height.value + kGrain;
  });
}

TEST(System, HasWaypointsThatRiseFromEdgeToEdge) {
  for (const char* name : {"lantern-song", "ferry-study", "mill-round"}) {
    const Drawing drawing = demo(name);
    for (const DrawnSystem& system : drawn_systems(drawing.picture(), drawing.whole())) {
      ASSERT_GE(system.waypoints.size(), 2u);
      EXPECT_EQ(system.waypoints.front().at, system.span.begin);
      EXPECT_EQ(system.waypoints.back().at, system.span.end);
      for (std::size_t i = 1; i < system.waypoints.size(); ++i) {
        EXPECT_LT(system.waypoints[i - 1].at, system.waypoints[i].at);
        EXPECT_LT(system.waypoints[i - 1].x, system.waypoints[i].x);
      }
    }
  }
}

// The places of heads, from left to right.
std::vector<double> heads_of(const std::string& svg) {
  std::set<double> places;
  for (const Mark& mark : only(marks_of(svg), "head")) {
    for (const Point& point : mark.points) places.insert(point.x.value);
  }
  return {places.begin(), places.end()};
}

TEST(System, HasEveryOnsetWhereTheWaypointsSay) {
  const Drawing drawing = demo("mill-round");
  for (const DrawnSystem& system : drawn_systems(drawing.picture(), drawing.whole())) {
    const Axis axis(system.waypoints);
    std::set<double> expected;
    for (const Note& note : drawing.score.notes) {
      if (system.span.holds(note.onset)) expected.insert(note.onset.value);
    }
    const std::vector<double> heads = heads_of(system.svg);
    ASSERT_EQ(heads.size(), expected.size());
    std::size_t i = 0;
    for (const double at : expected) EXPECT_NEAR(heads[i++], axis.x_at({at}).value, kGrain);
  }
}

TEST(System, DrawsEveryBlockOnceWithItsNameAndItsTitle) {
  const Drawing drawing = demo("lantern-song");
  std::map<std::string, int> groups;
  std::map<std::string, int> names;
  for (const DrawnSystem& system : drawn_systems(drawing.picture(), drawing.whole())) {
    for (const Mark& mark : marks_of(system.svg)) {
      if (mark.is("curve")) ++groups[mark.block];
      if (mark.is("name")) ++names[mark.text];
      if (mark.is("name")) {
        EXPECT_EQ(mark.text, mark.block);
      }
    }
    EXPECT_NE(system.svg.find("<title>motif "), std::string::npos);
  }
  std::size_t blocks = 0;
  for (const Level level : {Level::kMotif, Level::kPhrase, Level::kSentence}) {
    for (std::size_t i = 0; i < drawing.plan.level(level).size(); ++i) {
      ++blocks;
      const std::string name = block_name(drawing.plan, level, i);
      EXPECT_EQ(groups[name], 1) << name;
      EXPECT_EQ(names[name], 1) << name;
    }
  }
  EXPECT_EQ(groups.size(), blocks);
  EXPECT_EQ(names.size(), blocks);
}

TEST(System, MarksLeadersInShapeAndNotInColourAlone) {
  const Drawing drawing = demo("lantern-song");
  const auto systems = drawn_systems(drawing.picture(), drawing.whole());
  for (const Mark& foot : only(marks_of(systems.front().svg), "foot")) {
    // A stroke has two points, a u four more.
    EXPECT_EQ(foot.points.size() == 2, foot.of("main")) << foot.block;
  }
}

// The curve of a block drawn on its own goes through the arc of the model.
TEST(System, LaysEachCurvesTopOverItsGoal) {
  EXPECT_TRUE(holds(300, [] {
    const auto music = test::random_music();
    const Drawing drawing(music.score, music.bound);
    std::map<std::string, Beats> goals;
    for (const Level level : {Level::kMotif, Level::kPhrase, Level::kSentence}) {
      const auto& blocks = drawing.plan.level(level);
      for (std::size_t i = 0; i < blocks.size(); ++i) {
        goals[block_name(drawing.plan, level, i)] = blocks[i].goal;
      }
    }
    std::map<std::string, int> shown;
    for (const DrawnSystem& system : drawn_systems(drawing.picture(), drawing.whole())) {
      const Axis axis(system.waypoints);
      const auto marks = marks_of(system.svg);
      for (const Mark& goal : only(marks, "goal")) {
        ++shown[goal.block];
        RC_ASSERT(std::abs((goal.points[0].x - axis.x_at(goals.at(goal.block))).value) <= kGrain);
        for (const Mark& curve : only(marks, "curve")) {
          if (curve.block != goal.block) continue;
          const auto top = std::ranges::min_element(curve.points, {},
                                                    [](const Point& point) { return point.y; });
          RC_ASSERT(std::abs((top->y - goal.points[0].y).value) <= kGrain);
        }
      }
    }
    for (const auto& [name, goal] : goals) RC_ASSERT(shown[name] == 1);
  }));
}

// The moment that lies there: the axis the other way round.
Beats moment_at(const Axis& axis, Millimetres x) {
  Beats low = axis.begin();
  Beats high = axis.end();
  for (int i = 0; i < 60; ++i) {
    const Beats middle = low + (high - low) / 2.0;
    (axis.x_at(middle) < x ? low : high) = middle;
  }
  return low;
}

TEST(System, DrawsTheArcsOfTheModel) {
  const Drawing drawing = demo("lantern-song");
  int checked = 0;
  for (const DrawnSystem& system : drawn_systems(drawing.picture(), drawing.whole())) {
    const Axis axis(system.waypoints);
    for (const Mark& curve : only(marks_of(system.svg), "curve")) {
      const Level level = curve.of("motif")    ? Level::kMotif
                          : curve.of("phrase") ? Level::kPhrase
                                               : Level::kSentence;
      const auto& blocks = drawing.plan.level(level);
      const auto block = std::ranges::find_if(blocks, [&](const Block& each) {
        return block_name(drawing.plan, level, static_cast<std::size_t>(&each - blocks.data())) ==
               curve.block;
      });
      ASSERT_NE(block, blocks.end());
      // A start, then a control point and an end for each piece.
      const auto& points = curve.points;
      const double ground = points.front().y.value;
      const double top =
          std::ranges::min_element(points, {}, [](const Point& p) { return p.y; })->y.value;
      for (std::size_t i = 0; i + 2 < points.size(); i += 2) {
        for (const double t : {0.25, 0.5, 0.75}) {
          const auto along = [t](Millimetres from, Millimetres by, Millimetres to) {
            return from * ((1.0 - t) * (1.0 - t)) + by * (2.0 * t * (1.0 - t)) + to * (t * t);
          };
          const Millimetres x = along(points[i].x, points[i + 1].x, points[i + 2].x);
          const Millimetres y = along(points[i].y, points[i + 1].y, points[i + 2].y);
          const double height = arc(moment_at(axis, x), block->span, block->goal);
          EXPECT_NEAR(y.value, ground + (top - ground) * height, 3.0 * kGrain) << curve.block;
          ++checked;
        }
      }
    }
  }
  EXPECT_GT(checked, 300);
}

TEST(System, IsFlatWhereALevelIsNotHeard) {
  Layers layers;
  layers.heard = {false, true, false, false};
  const Drawing piece = demo("lantern-song");
  const Drawing drawing(piece.score, piece.plan, layers);
  for (const DrawnSystem& system : drawn_systems(drawing.picture(), drawing.whole())) {
    for (const Mark& curve : only(marks_of(system.svg), "curve")) {
      const auto [low, high] =
          std::ranges::minmax(curve.points, {}, [](const Point& point) { return point.y; });
      EXPECT_EQ(high.y - low.y > Millimetres{1.0}, curve.of("phrase")) << curve.block;
    }
  }
}

TEST(System, DrawsNothingOutsideItsBox) {
  EXPECT_TRUE(holds(400, [] {
    const auto music = test::random_music();
    const Drawing drawing(music.score, music.bound, test::random_layers());
    const Millimetres width{test::any(80, 300) * 1.0};
    for (const DrawnSystem& system : drawn_systems(drawing.picture(), drawing.whole(), width)) {
      for (const Mark& mark : marks_of(system.svg)) {
        if (!lies_in(mark)) RC_FAIL(mark.element + " " + mark.classes + " " + mark.text);
      }
    }
  }));
}

// Words of one row, two of which would touch.
TEST(System, LetsNoWordsOfARowCollide) {
  EXPECT_TRUE(holds(300, [] {
    const auto music = test::random_music();
    const Drawing drawing(music.score, music.bound);
    for (const DrawnSystem& system : drawn_systems(drawing.picture(), drawing.whole())) {
      std::map<long, std::vector<const Mark*>> rows;
      const auto marks = marks_of(system.svg);
      for (const Mark& mark : marks) {
        const bool in_margin = mark.is("scale") || mark.is("great");
        if (mark.element != "text" || in_margin) continue;
        rows[std::lround(mark.points[0].y.value * 100.0)].push_back(&mark);
      }
      for (auto& [y, row] : rows) {
        std::ranges::sort(row, {}, [](const Mark* mark) { return mark->points[0].x; });
        for (std::size_t i = 1; i < row.size(); ++i) {
          if (row[i - 1]->points[1].x.value > row[i]->points[0].x.value + kGrain) {
            RC_FAIL(row[i - 1]->text + " and " + row[i]->text);
          }
        }
      }
    }
  }));
}

// The height of the band's upper edge at x, the highest where it steps.
double edge_at(const Mark& edge, Millimetres x) {
  double y = 1e9;
  for (std::size_t i = 1; i < edge.points.size(); ++i) {
    const Point& a = edge.points[i - 1];
    const Point& b = edge.points[i];
    if (x.value < a.x.value - kGrain || x.value > b.x.value + kGrain) continue;
    const double share = b.x > a.x ? std::clamp((x - a.x) / (b.x - a.x), 0.0, 1.0) : 0.0;
    y = std::min(y, (a.y + (b.y - a.y) * share).value);
    if (b.x <= a.x) y = std::min({y, a.y.value, b.y.value});
  }
  return y;
}

TEST(System, HasNoLevelOverTheCeiling) {
  EXPECT_TRUE(holds(300, [] {
    test::MusicWishes wishes;
    wishes.accents = false;
    const auto music = test::random_music(wishes);
    // Parts with dynamics of their own have a ceiling of their own.
    RC_PRE(std::ranges::all_of(music.bound.parts,
                               [](const BoundPart& part) { return part.dynamics == 0; }));
    const Drawing drawing(music.score, music.bound);
    for (const DrawnSystem& system : drawn_systems(drawing.picture(), drawing.whole())) {
      const auto marks = marks_of(system.svg);
      const auto edges = only(marks, "ceiling-line");
      RC_ASSERT(edges.size() == 1u);
      for (const Mark& level : only(marks, "level")) {
        for (std::size_t i = 0; i < level.points.size(); i += 2) {
          const Point& point = level.points[i];
          RC_ASSERT(point.y.value >= edge_at(edges[0], point.x) - 2.0 * kGrain);
        }
      }
    }
  }));
}

TEST(System, PrintsDynamicsWhereTheyStandAndWhatHoldsFromTheLineBefore) {
  const Drawing drawing = demo("lantern-song");
  const auto systems = drawn_systems(drawing.picture(), drawing.whole());
  const auto words = [&](std::size_t i, std::string_view kind) {
    std::string text;
    for (const Mark& mark : only(marks_of(systems[i].svg), kind)) text += mark.text + " ";
    return text;
  };
  EXPECT_EQ(words(0, "dynamic"), "mp mf mp ");
  EXPECT_EQ(words(0, "held"), "");
  EXPECT_EQ(words(1, "held"), "mp ");
  EXPECT_EQ(words(1, "dynamic"), "mf p ");
  EXPECT_EQ(words(2, "dynamic"), "f ");
  EXPECT_EQ(words(3, "held"), "f ");
  EXPECT_EQ(words(5, "dynamic"), "pp ");
}

TEST(System, PrintsTimeSignaturesAndTempoWhereTheyChange) {
  test::ScoreText text;
  text.parts = {test::repeated("C5", 26)};
  text.signatures = {{{0.0}, {4, 4}}, {{8.0}, {3, 4}}, {{14.0}, {4, 4}}};
  text.tempo = {{{0.0}, 500'000}, {{14.0}, 1'000'000}};
  Score score = test::score_of(text);
  const Drawing drawing = test::unplanned(std::move(score));
  std::string signatures;
  std::string tempos;
  for (const DrawnSystem& system : drawn_systems(drawing.picture(), drawing.whole(), {400.0})) {
    for (const Mark& mark : marks_of(system.svg)) {
      if (mark.is("signature")) signatures += mark.text + " ";
      if (mark.is("tempo-mark")) tempos += mark.text + " ";
    }
  }
  EXPECT_EQ(signatures, "4 4 3/4 4/4 ");
  EXPECT_EQ(tempos, "♩ = 120 ♩ = 60 ");
}

TEST(System, PrintsSignsOverNotesAndWhatBothHandsHaveOnce) {
  Score score = test::two_hands("C5 D5 E5 F5 C5 D5 E5 F5", "C3 D3 E3 F3 C3 D3 E3 F3");
  BoundPlan plan = bound(score,
                         "marks:\n  - {at: 1:1, mark: sf}\n  - {at: 1:2, mark: fp, part: l}\n"
                         "  - {at: 2:4, mark: fermata}\n  - {at: 1:3, mark: staccato, part: l}\n"
                         "motif: {length: 1 bar, from: 1:1}\nsentences: [{phrases: [u /]}]\n",
                         test::kTwoHands);
  const Drawing drawing(std::move(score), std::move(plan));
  const auto systems = drawn_systems(drawing.picture(), drawing.whole());
  ASSERT_EQ(systems.size(), 1u);
  const auto marks = marks_of(systems[0].svg);
  std::string words;
  for (const Mark& mark : only(marks, "sign-word")) words += mark.text + " ";
  EXPECT_EQ(words, "sf fp ");
  // Dots of a staccato and of one fermata, each as a line without length.
  const auto dots = only(marks, "dot");
  ASSERT_EQ(dots.size(), 1u);
  EXPECT_EQ(dots[0].points.size(), 4u);
}

TEST(System, ShowsDrumsBesideOrWithoutPitches) {
  Score score = test::two_hands("C5 D5 E5 F5", "C2/0.5 C2/0.5 D2 C2 D2");
  score.parts[1].channel = kDrumChannel;
  for (const bool alone : {false, true}) {
    Score drums = score;
    if (alone) drums.parts[0].channel = kDrumChannel;
    const Drawing drawing = test::unplanned(std::move(drums));
    const auto systems = drawn_systems(drawing.picture(), drawing.whole());
    const auto marks = marks_of(systems.front().svg);
    EXPECT_EQ(only(marks, "drum").size(), 1u);
    EXPECT_EQ(only(marks, "line").empty(), alone);
    EXPECT_TRUE(std::ranges::all_of(marks, lies_in));
  }
}

TEST(System, DrawsANoteOverAllSystemsThatItSoundsIn) {
  Score score = test::two_hands(test::repeated("C5 D5 E5 F5", 16), "C3/64");
  const Drawing drawing = test::unplanned(std::move(score));
  const auto systems = drawn_systems(drawing.picture(), drawing.whole());
  ASSERT_GE(systems.size(), 3u);
  for (std::size_t i = 0; i < systems.size(); ++i) {
    const auto marks = marks_of(systems[i].svg);
    EXPECT_EQ(std::ranges::count_if(only(marks, "tail"),
                                    [](const Mark& mark) { return !mark.is("melody"); }),
              1);
    const auto heads = only(marks, "head");
    EXPECT_EQ(std::ranges::count_if(heads, [](const Mark& m) { return !m.is("melody"); }),
              i == 0 ? 1 : 0);
  }
}

TEST(System, DrawsFurtherCoursesDashed) {
  const Drawing drawing = even_piece(8);
  Picture picture = drawing.picture();
  Course take = picture.courses.front();
  take.name = "a take";
  for (TempoStretch& stretch : take.tempo) stretch.ratio *= 0.9;
  picture.courses.push_back(take);
  for (const DrawnSystem& system : drawn_systems(picture, drawing.whole())) {
    const auto marks = marks_of(system.svg);
    EXPECT_EQ(only(marks, "tempo").size(), 2u);
    EXPECT_EQ(only(marks, "level-line").size(), 2u);
    EXPECT_EQ(only(marks, "second").size(), 2u);
  }
}

TEST(System, TakesAStaffDrawnByOthersInPlaceOfTheNotes) {
  const Drawing drawing = even_piece(4);
  const Picture picture = drawing.picture();
  Frame frame;
  frame.scales = scales_of(picture, drawing.whole());
  const System system = systems_of(picture, drawing.whole(), room_in(frame)).front();
  NoteField field;
  field.svg = "<g class=\"engraved\"/>";
  field.width = room_in(frame);
  field.height = {30.0};
  field.waypoints = {{{0.0}, {12.0}}, {{4.0}, {60.0}}, {{16.0}, {150.0}}};
  const DrawnSystem drawn = draw_system(picture, system, frame, &field);
  EXPECT_NE(drawn.svg.find("class=\"engraved\""), std::string::npos);
  EXPECT_EQ(drawn.svg.find("class=\"melody head\""), std::string::npos);
  const Millimetres margin = drawn.waypoints.front().x - Millimetres{12.0};
  const auto marks = marks_of(drawn.svg);
  EXPECT_TRUE(std::ranges::all_of(marks, lies_in));
  for (const Mark& goal : only(marks, "goal")) {
    if (goal.block != "1.1.1") continue;  // goal at 1:4
    EXPECT_NEAR(goal.points[0].x.value, (margin + Millimetres{12.0 + 48.0 * 0.75}).value, kGrain);
  }
}

}  // namespace
}  // namespace arsis
