// Excerpts hold what they were asked for, are whole by themselves, and name their notes.
// Source of what the elements mean: W3C MusicXML 4.0.
#include "musicxml/excerpt_writer.h"

#include <gtest/gtest.h>

#include <pugixml.hpp>
#include <sstream>

#include "musicxml/score_text.h"

namespace arsis {
namespace {

using namespace test;  // NOLINT: the notation of the tables

const std::string kClef = "<clef><sign>F</sign><line>4</line></clef>";
const std::string kKey = "<key><fifths>-2</fifths></key>";
const std::string kThree = attributes(1, kKey + time(3, 4) + kClef);

std::vector<std::string> excerpts_of(const std::string& text,
                                     const std::vector<PageExcerptRequest>& requests) {
  const Result<ExcerptWriter> writer = ExcerptWriter::of_text(text, "x.musicxml");
  EXPECT_TRUE(writer) << messages_of(writer.diagnostics());
  if (!writer) return {};
  const auto excerpts = writer->excerpts(requests);
  EXPECT_TRUE(excerpts) << messages_of(excerpts.diagnostics());
  return excerpts ? *excerpts : std::vector<std::string>{};
}

// The measures of the first part of an excerpt, as raw text.
std::vector<std::string> measures_of(const std::string& excerpt) {
  pugi::xml_document document;
  EXPECT_TRUE(document.load_string(excerpt.c_str()));
  std::vector<std::string> measures;
  for (const pugi::xml_node measure : document.document_element().child("part").children()) {
    std::ostringstream text;
    for (const pugi::xml_node node : measure.children()) node.print(text, "", pugi::format_raw);
    measures.push_back(text.str());
  }
  return measures;
}

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::string slur(const std::string& type) {
  return "<notations><slur number='1' type='" + type + "'/></notations>";
}
std::string hairpin(const std::string& type) {
  return "<direction><direction-type><wedge type='" + type + "'/></direction-type></direction>";
}

TEST(Excerpts, BeginWithWhatIsInForce) {
  const auto all = excerpts_of(
      score_text({kThree + n("C3", 3), n("D3", 3),
                  attributes(1, "<clef><sign>G</sign><line>2</line></clef>") + n("E4", 3),
                  n("F4", 3)}),
      {{{0}}, {{1}}, {{2, 3}}});
  ASSERT_EQ(all.size(), 3u);
  const std::string first = measures_of(all[0])[0];
  EXPECT_TRUE(has(first, "<fifths>-2</fifths>"));
  EXPECT_TRUE(has(first, "<time><beats>3</beats>"));
  EXPECT_TRUE(has(first, "<sign>F</sign>"));
  const std::string second = measures_of(all[1])[0];
  EXPECT_TRUE(second.starts_with("<attributes><divisions>1</divisions><key><fifths>-2</fifths>"));
  EXPECT_TRUE(has(second, "<time print-object=\"no\"><beats>3</beats>")) << "it is not new there";
  EXPECT_TRUE(has(second, "<sign>F</sign>"));
  const auto third = measures_of(all[2]);
  EXPECT_TRUE(has(third[0], "<sign>G</sign>"));
  EXPECT_FALSE(has(third[0], "<sign>F</sign>")) << "the new clef has replaced it";
  EXPECT_FALSE(has(third[1], "<attributes>")) << "it goes on";
}

TEST(Excerpts, SayWhatChangesWhereTheMusicGoesBack) {
  const auto measures =
      measures_of(excerpts_of(score_text({kThree + n("C3", 3), n("D3", 3),
                                          attributes(2, time(2, 4)) + n("E3", 4) + repeat_ends()}),
                              {{{1, 2, 0, 1}}})[0]);
  ASSERT_EQ(measures.size(), 4u);
  EXPECT_TRUE(has(measures[2], "<divisions>1</divisions>"));
  EXPECT_TRUE(has(measures[2], "<time><beats>3</beats>"));
  EXPECT_FALSE(has(measures[2], "<clef>")) << "it is the same";
  EXPECT_FALSE(has(measures[3], "<attributes>"));
}

TEST(Excerpts, NameTheirNotesByMeasureAndElement) {
  std::string own = n("D3", 1);
  own.insert(5, " id='\"&lt;/svg&gt;'");
  const std::string text = score_text({kThree + n("C3", 1) + n("r", 1) + own, n("E3", 3)});
  const Result<ExcerptWriter> writer = ExcerptWriter::of_text(text, "x.musicxml");
  ASSERT_TRUE(writer);
  const auto excerpts = writer->excerpts(std::vector<PageExcerptRequest>{{{1, 0, 0}}});
  ASSERT_TRUE(excerpts);
  for (const char* id : {"n0-0-4", "n1-0-1", "n1-0-2", "n1-0-3", "n2-0-1", "n2-0-3"}) {
    EXPECT_TRUE(has(excerpts->front(), "id=\"" + std::string(id) + "\"")) << id;
  }
  EXPECT_FALSE(has(excerpts->front(), "/svg"));
  const auto note = writer->note("n2-0-3");
  ASSERT_TRUE(note);
  EXPECT_EQ(note->measure, 2u);
  EXPECT_EQ(note->id, "\"</svg>");
  EXPECT_EQ(writer->note("n0-0-4")->id, "arsis-1-4");
  for (const char* none :
       {"", "n", "n0-0", "n0-0-", "n0-0-0", "n0-0-5", "n0-1-1", "n-1-0-1", "x1"}) {
    EXPECT_FALSE(writer->note(none)) << none;
  }
}

// The ids are those that the page's reader gives the same notes.
TEST(Excerpts, NameTheirNotesAsThePagesReaderDoes) {
  const std::string text =
      score_text({kThree + n("C3", 1) + n("r", 1) + n("D3", 1), n("E3", 3) + repeat_ends()});
  const Result<PrintedScore> read = played_of(text);
  ASSERT_TRUE(read);
  const Result<ExcerptWriter> writer = ExcerptWriter::of_text(text, "x.musicxml");
  ASSERT_TRUE(writer);
  const std::vector<std::string> expected = {"arsis-1-1", "arsis-1-3", "arsis-1-4",
                                             "arsis-1-1", "arsis-1-3", "arsis-1-4"};
  EXPECT_EQ(read->printed.note_ids, expected);
  EXPECT_EQ(writer->note("n0-0-3")->id, expected[1]);
  std::string measures;
  for (const PrintedMeasure& measure : read->printed.measures) {
    measures += fmt::format("{:g}:{} ", measure.begin.value, measure.index);
  }
  EXPECT_EQ(measures, "0:0 3:1 6:0 9:1 ");
}

TEST(Excerpts, CutSlursToThemselves) {
  const std::string text = score_text({kThree + n("C3", 1) + n("D3", 2, "", slur("start")),
                                       n("E3", 3), n("F3", 1) + n("G3", 2, "", slur("stop"))});
  const auto all = excerpts_of(text, {{{0}}, {{1}}, {{2}}, {{0, 1}}, {{1, 2}}, {{0, 1, 2}}});
  ASSERT_EQ(all.size(), 6u);
  const std::vector<std::pair<int, int>> starts_and_stops = {{0, 0}, {0, 0}, {1, 1},
                                                             {1, 1}, {1, 1}, {1, 1}};
  for (std::size_t i = 0; i < all.size(); ++i) {
    SCOPED_TRACE(i);
    pugi::xml_document document;
    ASSERT_TRUE(document.load_string(all[i].c_str()));
    const auto count = [&](const std::string& type) {
      return static_cast<int>(
          document.select_nodes(("//slur[@type='" + type + "']").c_str()).size());
    };
    EXPECT_EQ(count("start"), starts_and_stops[i].first);
    EXPECT_EQ(count("stop"), starts_and_stops[i].second);
  }
}

TEST(Excerpts, CutHairpinsToThemselves) {
  const std::string text = score_text({kThree + n("C3", 1) + hairpin("crescendo") + n("D3", 2),
                                       n("E3", 3), n("F3", 1) + hairpin("stop") + n("G3", 2)});
  const auto middle = measures_of(excerpts_of(text, {{{1}}})[0])[0];
  const std::size_t begins = middle.find("type=\"crescendo\"");
  const std::size_t note = middle.find("<note");
  const std::size_t ends = middle.find("type=\"stop\"");
  EXPECT_LT(begins, note);
  EXPECT_LT(note, ends);
  EXPECT_LT(ends, middle.size());
  const auto last = measures_of(excerpts_of(text, {{{2}}})[0])[0];
  EXPECT_LT(last.find("type=\"crescendo\""), last.find("<note"));
  EXPECT_EQ(last.find("type=\"stop\""), last.rfind("type=\"stop\""));
}

TEST(Excerpts, LetATieThatLeavesThemSoundOn) {
  const std::string tie = "<tie type='start'/><notations><tied type='start'/></notations>";
  const std::string end = "<tie type='stop'/><notations><tied type='stop'/></notations>";
  const std::string text = score_text({kThree + n("C3", 3, "", tie), n("C3", 3, "", end)});
  EXPECT_TRUE(has(excerpts_of(text, {{{0}}})[0], "<tied type=\"let-ring\"/>"));
  EXPECT_FALSE(has(excerpts_of(text, {{{0, 1}}})[0], "let-ring"));
}

TEST(Excerpts, CloseTheEndingsThatTheyCut) {
  const std::string text =
      score_text({kThree + n("C3", 3), ending("1", "start") + n("D3", 3),
                  n("E3", 3) + ending("1", "stop") + repeat_ends(), n("F3", 3)});
  for (const auto& [measures, types] :
       std::vector<std::pair<std::vector<std::uint32_t>, std::string>>{
           {{0, 1}, "start discontinue "},
           {{2, 3}, "start stop "},
           {{3}, ""},
           {{1, 2}, "start stop "}}) {
    pugi::xml_document document;
    ASSERT_TRUE(document.load_string(excerpts_of(text, {{measures}})[0].c_str()));
    std::string found;
    for (const pugi::xpath_node each : document.select_nodes("//ending")) {
      found += std::string(each.node().attribute("type").value()) + " ";
    }
    EXPECT_EQ(found, types);
  }
}

TEST(Excerpts, LeaveOutLayoutAndSayMetronomeMarksInWords) {
  const std::string metronome =
      "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><beat-unit-dot/>"
      "<per-minute>84</per-minute></metronome></direction-type><sound tempo='126'/></direction>";
  const std::string text = excerpts_of(
      score_text({kThree + "<print new-system='yes'/>" + metronome +
                  attributes(1, "<measure-style><multiple-rest>4</multiple-rest></measure-style>") +
                  "<harmony><root><root-step>C</root-step></root></harmony>" + n("C3", 3)}),
      {{{0}}})[0];
  EXPECT_TRUE(has(text, ">\u2669. = 84</words>"));
  for (const char* out : {"print", "metronome", "sound", "multiple-rest", "harmony", "Piano"}) {
    EXPECT_FALSE(has(text, out)) << out;
  }
}

TEST(Excerpts, SetAMetronomeMarkBehindTheWordsBeforeIt) {
  const std::string text = excerpts_of(
      score_text({kThree +
                  "<direction><direction-type><words>Calmly</words></direction-type>"
                  "<direction-type><metronome><beat-unit>eighth</beat-unit><per-minute>92"
                  "</per-minute></metronome></direction-type></direction>" +
                  n("C3", 3)}),
      {{{0}}})[0];
  EXPECT_TRUE(has(text,
                  "<direction><direction-type><words font-style=\"normal\" font-weight=\"bold\">"
                  "Calmly \u266a = 92</words></direction-type></direction>"));
}

TEST(Excerpts, NameSeveralPartsWhereTheyAreAsked) {
  const std::string list = "<score-part id='a'><part-name>Oboe</part-name></score-part>";
  const std::string part = "<measure number='1'>" + kThree + n("C3", 3) + "</measure>";
  const std::string one = "<score-partwise><part-list>" + list + "</part-list><part id='a'>" +
                          part + "</part></score-partwise>";
  const std::string two =
      "<score-partwise><part-list>" + list +
      "<score-part id='b'><part-name>Harp</part-name></score-part></part-list><part id='a'>" +
      part + "</part><part id='b'>" + part + "</part></score-partwise>";
  EXPECT_TRUE(has(excerpts_of(two, {{{0}, true}})[0], "<part-name>Harp</part-name>"));
  EXPECT_FALSE(has(excerpts_of(two, {{{0}, false}})[0], "Harp"));
  EXPECT_FALSE(has(excerpts_of(one, {{{0}, true}})[0], "Oboe")) << "there is no other";
}

TEST(Excerpts, AreByPartsOfAScoreByMeasures) {
  const auto text = excerpts_of(
      "<score-timewise><part-list/><measure number='1'><part id='a'>" + kThree + n("C3", 3) +
          "</part><part id='b'>" + kThree + n("E3", 3) + "</part></measure><measure number='2'>" +
          "<part id='b'>" + n("F3", 3) + "</part></measure></score-timewise>",
      {{{0, 1}}})[0];
  pugi::xml_document document;
  ASSERT_TRUE(document.load_string(text.c_str()));
  EXPECT_STREQ(document.document_element().name(), "score-partwise");
  EXPECT_EQ(document.select_nodes("/score-partwise/part").size(), 2u);
  EXPECT_EQ(document.select_nodes("/score-partwise/part/measure").size(), 4u);
  EXPECT_EQ(document.select_nodes("//note").size(), 3u);
}

TEST(Excerpts, AreRefusedWhereThereIsNothingToExcerpt) {
  EXPECT_FALSE(ExcerptWriter::of_text("<a/>", "x"));
  EXPECT_FALSE(ExcerptWriter::of_text("no xml", "x"));
  const Result<ExcerptWriter> writer =
      ExcerptWriter::of_text(score_text({kThree + n("C3", 3)}), "x.musicxml");
  ASSERT_TRUE(writer);
  const auto none = writer->excerpts(std::vector<PageExcerptRequest>{{{1}}});
  EXPECT_EQ(messages_of(none.diagnostics()), "x.musicxml: has no measure 2\n");
  const PageExcerptRequest many{std::vector<std::uint32_t>(20'001, 0)};
  const auto too_long = writer->excerpts(std::vector<PageExcerptRequest>{many});
  EXPECT_EQ(messages_of(too_long.diagnostics()),
            "x.musicxml: is too long for an engraved staff; 20000 measures of all parts can be\n");
}

}  // namespace
}  // namespace arsis
