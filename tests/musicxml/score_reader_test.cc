// Small MusicXML files of one notion each, and what is played of them, written by hand.
// Source of what the elements mean: W3C MusicXML 4.0, the reference of `divisions`, `duration`,
// `backup`, `forward`, `chord`, `tie`, `grace`, `transpose`, `sound`, `metronome`, `repeat` and
// `ending`.
#include "musicxml/score_reader.h"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "musicxml/score_text.h"

namespace arsis {
namespace {

using namespace test;  // NOLINT: the notation of the tables

Result<Score> read(const std::string& text) {
  Result<PrintedScore> played = played_of(text);
  if (!played) return played.diagnostics();
  return {std::move(played->score), played.diagnostics()};
}

struct Case {
  const char* what;
  std::vector<std::string> measures;
  const char* notes;
};

std::vector<Case> plain_cases() {
  return {
      {"notes one after another",
       {kFour + n("C5", 1) + n("F#4", 2) + n("Bb3", 1)},
       "0:C5/1 1:F#4/2 3:A#3/1"},
      {"a rest", {kFour + n("C5", 1) + n("r", 2) + n("D5", 1)}, "0:C5/1 3:D5/1"},
      {"a chord",
       {kFour + n("C5", 2) + n("E5", 2, "<chord/>") + n("D5", 2)},
       "0:C5/2 0:E5/2 2:D5/2"},
      {"two voices by backup",
       {kFour + n("C5", 4) + backup(4) + n("C4", 2) + n("D4", 2)},
       "0:C4/2 0:C5/4 2:D4/2"},
      {"a voice that begins late by forward",
       {kFour + n("C5", 4) + backup(4) + forward(3) + n("C4", 1)},
       "0:C5/4 3:C4/1"},
      {"divisions that change",
       {attributes(2, time(2, 4)) + n("C5", 2) + n("D5", 2),
        attributes(3) + n("E5", 2) + n("F5", 4)},
       "0:C5/1 1:D5/1 2:E5/0.666667 2.66667:F5/1.33333"},
      {"divisions that change within a measure",
       {attributes(1, time(2, 4)) + n("C5", 1) + attributes(4) + n("D5", 4)},
       "0:C5/1 1:D5/1"},
      {"a triplet without marks",
       {attributes(3, time(1, 4)) + n("C5", 1) + n("D5", 1) + n("E5", 1)},
       "0:C5/0.333333 0.333333:D5/0.333333 0.666667:E5/0.333333"},
      {"a tie",
       {kFour + n("C5", 4, "", "<tie type='start'/>"), n("C5", 4, "", "<tie type='stop'/>")},
       "0:C5/8"},
      {"a tie over three measures",
       {kFour + n("C5", 4, "", "<tie type='start'/>"),
        n("C5", 4, "", "<tie type='stop'/><tie type='start'/>"),
        n("C5", 2, "", "<tie type='stop'/>") + n("C5", 2)},
       "0:C5/10 10:C5/2"},
      {"a tie that is only drawn",
       {kFour + n("C5", 2, "", "<notations><tied type='start'/></notations>") +
        n("C5", 2, "", "<notations><tied type='stop'/></notations>")},
       "0:C5/4"},
      {"a tie of one of two voices",
       {kFour + n("C5", 4, "", "<tie type='start'/>") + backup(4) + n("C4", 4),
        n("C5", 4, "", "<tie type='stop'/>") + backup(4) + n("C4", 4)},
       "0:C4/4 0:C5/8 4:C4/4"},
      {"two voices on one key",
       {kFour + n("C5", 4) + backup(4) + n("C5", 2) + n("D5", 2)},
       "0:C5/4 2:D5/2"},
      {"a voice that takes a key from another",
       {kFour + n("C5", 4) + backup(4) + n("E4", 2) + n("C5", 2)},
       "0:E4/2 0:C5/2 2:C5/2"},
      {"a grace note before its principal note",
       {kFour + n("C5", 2) + n("D5", 0, "<grace slash='yes'/>") + n("E5", 2)},
       "0:C5/1.875 1.875:D5/0.125 2:E5/2"},
      {"two grace notes",
       {kFour + n("C5", 2) + n("D5", 0, "<grace/>") + n("F5", 0, "<grace/>") + n("E5", 2)},
       "0:C5/1.75 1.75:D5/0.125 1.875:F5/0.125 2:E5/2"},
      {"a chord of grace notes",
       {kFour + n("C5", 2) + n("D5", 0, "<grace/>") + n("F5", 0, "<grace/><chord/>") + n("E5", 2)},
       "0:C5/1.875 1.875:D5/0.125 1.875:F5/0.125 2:E5/2"},
      {"a cue note is not played", {kFour + n("C5", 2) + n("D5", 2, "<cue/>")}, "0:C5/2"},
      {"a transposing instrument",
       {attributes(1, time(4, 4) + "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic>"
                                   "</transpose>") +
        kBar},
       "0:A#4/4"},
      {"an octave of transposition",
       {attributes(1, time(4, 4) + "<transpose><chromatic>0</chromatic><octave-change>-1"
                                   "</octave-change></transpose>") +
        kBar},
       "0:C4/4"},
      {"an empty measure lasts as its signature says", {kFour + kBar, "", kBar}, "0:C5/4 8:C5/4"},
      {"a measure that is too full is as long as its notes",
       {kFour + n("C5", 5), n("D5", 4)},
       "0:C5/5 5:D5/4"},
      {"a pickup", {"!" + kFour + n("G4", 1), kBar}, "0:G4/1 1:C5/4"},
      {"a repeat", {kFour + kBar + repeat_ends(), n("D5", 4)}, "0:C5/4 4:C5/4 8:D5/4"},
      {"a repeat from its sign",
       {kFour + kBar, repeat_begins() + n("D5", 4) + repeat_ends()},
       "0:C5/4 4:D5/4 8:D5/4"},
      {"two endings",
       {kFour + kBar, ending("1", "start") + n("D5", 4) + ending("1", "stop") + repeat_ends(),
        ending("2", "start") + n("E5", 4) + ending("2", "discontinue")},
       "0:C5/4 4:D5/4 8:C5/4 12:E5/4"},
      {"da capo al fine",
       {kFour + kBar, n("D5", 4) + "<sound fine='yes'/>", n("E5", 4) + "<sound dacapo='yes'/>"},
       "0:C5/4 4:D5/4 8:E5/4 12:C5/4 16:D5/4"},
      {"a tie into the first ending only",
       {kFour + n("C5", 4, "", "<tie type='start'/>"),
        ending("1", "start") + n("C5", 4, "", "<tie type='stop'/>") + ending("1", "stop") +
            repeat_ends(),
        ending("2", "start") + n("E5", 4) + ending("2", "discontinue")},
       "0:C5/8 8:C5/4 12:E5/4"},
  };
}

TEST(MusicXml, PlaysWhatIsWritten) {
  for (const auto& [what, measures, notes] : plain_cases()) {
    SCOPED_TRACE(what);
    const Result<Score> score = read(score_text(measures));
    ASSERT_TRUE(score) << messages_of(score.diagnostics());
    EXPECT_EQ(notes_of(*score), notes);
    EXPECT_EQ(messages_of(score.diagnostics()), "");
  }
}

TEST(MusicXml, ReadsWhatBreaksTheLetterWithAWarning) {
  const std::string head = score_text({""});
  struct Row {
    std::vector<std::string> measures;
    const char* notes;
    const char* warning;
  };
  const std::vector<Row> rows = {
      {{n("C5", 1) + n("D5", 1)},
       "0:C5/1 1:D5/1",
       "there is a duration before any 'divisions'; a quarter note is taken as one division"},
      {{kFour + n("C5", 2) + backup(9) + n("E4", 4)},
       "0:E4/4 0:C5/2",
       "a 'backup' goes past the measure's beginning; it is taken as going to the beginning"},
      {{kFour + n("C5", 2) + n("D5", 0) + n("E5", 2)},
       "0:C5/1.875 1.875:D5/0.125 2:E5/2",
       "a note has no duration; it is taken as a grace note"},
      {{attributes(0, time(4, 4)) + attributes(1) + kBar},
       "0:C5/4",
       "'divisions' is no whole number above 0; the one before it goes on"},
      {{kFour + "<note><pitch><step>C</step><alter>0.5</alter><octave>5</octave></pitch>"
                "<duration>4</duration></note>"},
       "0:C#5/4",
       "a note lies between the keys; the nearest is played"},
      {{kFour + n("C5", 2) + "<note><unpitched/><duration>2</duration></note>"},
       "0:C5/2",
       "a note has no pitch; it is left out"},
      {{kFour + "<sound tempo='0'/>" + kBar},
       "0:C5/4",
       "a tempo is none that anybody plays; it is left out"},
      {{attributes(1, "<time><beats>x</beats><beat-type>4</beat-type></time>") + kBar},
       "0:C5/4",
       "a time signature is none; the one before it goes on"},
      {{kFour + kBar + "<forward><duration>-3</duration></forward>"},
       "0:C5/4",
       "a duration is no number of 0 or more; it is taken as 0"},
  };
  for (const Row& row : rows) {
    SCOPED_TRACE(row.warning);
    const Result<Score> score = read(score_text(row.measures));
    ASSERT_TRUE(score) << messages_of(score.diagnostics());
    EXPECT_EQ(notes_of(*score), row.notes);
    ASSERT_EQ(score.diagnostics().size(), 1u) << messages_of(score.diagnostics());
    const Diagnostic& only = score.diagnostics().front();
    EXPECT_EQ(only.problem + "; " + only.remedy, row.warning);
    EXPECT_GT(only.where.line, 4);
  }
}

TEST(MusicXml, SaysWhereThereIsMoreThanItReads) {
  std::vector<std::string> measures(50'001, kBar);
  measures.front() = kFour + kBar;
  const Result<Score> score = read(score_text(measures));
  ASSERT_TRUE(score);
  EXPECT_EQ(score->notes.size(), 50'000u);
  EXPECT_EQ(
      messages_of(score.diagnostics()),
      "x.musicxml:2:2: warning: the score is larger than is read; 100 parts of 50000 measures "
      "are\n");
}

TEST(MusicXml, RefusesWhatIsNoScore) {
  struct Row {
    std::string text;
    const char* message;
  };
  std::string deep;
  for (int i = 0; i < 100'000; ++i) deep += "<a>";
  const std::vector<Row> rows = {
      {"",
       "x.musicxml:1:1: is no XML from here on: No document element found; export the score "
       "again\n"},
      {"<score-partwise>\n<part",
       "x.musicxml:2:5: is no XML from here on: Error parsing start "
       "element tag; export the score again\n"},
      {"<opus/>",
       "x.musicxml:1:2: 'opus' is no score; a MusicXML file begins with score-partwise "
       "or score-timewise\n"},
      {"<score-partwise/>",
       "x.musicxml:1:2: there is no measure in this score; export the score again\n"},
      {score_text({kFour}), "x.musicxml: has no note that sounds; export the score again\n"},
  };
  for (const Row& row : rows) EXPECT_EQ(messages_of(read(row.text).diagnostics()), row.message);
  EXPECT_FALSE(read(deep));
  EXPECT_FALSE(read("<!DOCTYPE a [<!ENTITY b 'bb'><!ENTITY c '&b;&b;'>]><a>&c;</a>"));
}

TEST(MusicXml, KeepsThePrintedNumbersOfBarsAndTellsTheirPasses) {
  const Result<Score> score =
      read(score_text({"!" + attributes(1, time(3, 4)) + n("G4", 1), n("C5", 3),
                       n("D5", 2) + repeat_ends(), "!" + n("E5", 1), n("F5", 3)}));
  ASSERT_TRUE(score);
  std::string bars;
  for (const Bar& bar : score->bars.all()) {
    bars += to_string(score->bars.position_of(bar.span.begin)) + " ";
  }
  // The rest of the divided bar belongs to it.
  EXPECT_EQ(bars, "0:3 1:1 2:1 0:3/2nd 1:1/2nd 2:1/2nd 3:1 ");
  EXPECT_EQ(score->bars.moment_of({.bar = 2, .beat = 3.0, .pass = 2}), Beats{12.0});
}

// "0:3 pass 1 to 4": of every bar its number, pass and end.
std::string bars_of(const Score& score) {
  std::string text;
  for (const Bar& bar : score.bars.all()) {
    text += fmt::format("{}{}/{} to {:g}", text.empty() ? "" : ", ", bar.number, bar.pass,
                        bar.span.end.value);
  }
  return text;
}

std::string renumbered(std::string text, const std::string& from, const std::string& to) {
  text.replace(text.find(from), from.size(), to);
  return text;
}

TEST(MusicXml, FillsABarUpWithTheRestOfADividedOneThatIsGoneBackTo) {
  // A section of its own begins with the last beat of bar 2.
  const Result<Score> score =
      read(score_text({kFour + kBar, n("D5", 3) + repeat_ends(), "!" + repeat_begins() + n("A4", 1),
                       kBar, n("F5", 3) + repeat_ends()}));
  ASSERT_TRUE(score);
  EXPECT_EQ(bars_of(*score),
            "1/1 to 4, 2/1 to 7, 1/2 to 11, 2/2 to 15, 3/1 to 19, 4/1 to 23, 3/2 to 27, 4/2 to 30");
}

TEST(MusicXml, NamesEachBarWhateverTheFileCallsIt) {
  const std::string three = score_text({kFour + kBar, kBar, kBar});
  const auto bars = [&](const std::string& second, const std::string& third) {
    return renumbered(renumbered(three, "<measure number='2'", second), "<measure number='3'",
                      third);
  };
  const std::pair<std::string, const char*> rows[] = {
      {bars("<measure number='1a'", "<measure number='1b'"), "1/1 to 4, 1/2 to 8, 1/3 to 12"},
      {bars("<measure", "<measure"), "1/1 to 4, 2/1 to 8, 3/1 to 12"},
      {bars("<measure number='1'", "<measure number='2'"), "1/1 to 4, 1/2 to 8, 2/1 to 12"},
      {bars("<measure number='X1'", "<measure number='2'"), "1/1 to 8, 2/1 to 12"},
  };
  for (const auto& [text, expected] : rows) {
    const Result<Score> score = read(text);
    ASSERT_TRUE(score);
    EXPECT_EQ(bars_of(*score), expected);
  }
}

TEST(MusicXml, PlaysEndingsThatAreNotWrittenByTheLetter) {
  const auto volta = [](const std::string& first, const std::string& second,
                        const std::string& closes) {
    return score_text({kFour + kBar,
                       ending(first, "start") + n("D5", 4) + repeat_ends() + ending(first, "stop"),
                       ending(second, "start") + n("E5", 4) + closes,
                       repeat_begins() + n("F5", 4) + repeat_ends()});
  };
  const std::string stop = ending("2", "stop");
  const std::string twice = "0:C5/4 4:D5/4 8:C5/4 12:E5/4 16:F5/4 20:F5/4";
  const std::pair<std::string, std::string> rows[] = {
      {volta("1.", "2.", stop), twice},
      {volta("", "", stop), twice},
      {volta(" ", "2", stop), twice},
      {volta("1", "2", ""), twice},  // never closed
      {volta("1-2", "3", stop), "0:C5/4 4:D5/4 8:C5/4 12:D5/4 16:C5/4 20:E5/4 24:F5/4 28:F5/4"},
  };
  for (const auto& [text, notes] : rows) {
    const Result<Score> score = read(text);
    ASSERT_TRUE(score);
    EXPECT_EQ(notes_of(*score), notes);
    EXPECT_EQ(messages_of(score.diagnostics()), "");
  }
}

TEST(MusicXml, SaysWhichBarsAreNeverPlayed) {
  const Result<Score> score = read(
      score_text({kFour + kBar, ending("1", "start") + kBar + repeat_ends() + ending("1", "stop"),
                  ending("3", "start") + kBar, kBar + ending("3", "stop"), kBar}));
  ASSERT_TRUE(score);
  EXPECT_EQ(bars_of(*score), "1/1 to 4, 2/1 to 8, 1/2 to 12, 5/1 to 16");
  EXPECT_EQ(
      messages_of(score.diagnostics()),
      "x.musicxml:17:2: warning: bar 3 is never played (1 more like it); look at the repeats, "
      "endings and jumps before it\n");
}

TEST(MusicXml, KeepsBarsWholeWhoseDurationsWereRounded) {
  const std::string start = "<tie type='start'/>";
  const std::string stop = "<tie type='stop'/>";
  const Result<Score> score = read(score_text(
      {attributes(480, time(4, 4)) + n("C5", 1918, "", start), n("C5", 1923, "", stop + start),
       n("C5", 1920, "", stop), attributes(480, time(2, 4)) + n("C5", 945)}));
  ASSERT_TRUE(score);
  EXPECT_EQ(bars_of(*score), "1/1 to 4, 2/1 to 8, 3/1 to 12, 4/1 to 13.9688");
  EXPECT_EQ(notes_of(*score), "0:C5/12 12:C5/1.96875");  // a 128th note less is meant
}

TEST(MusicXml, TakesTempoFromSoundAndFromThePrintedMark) {
  struct Row {
    std::string direction;
    double quarters_a_minute;
  };
  const auto mark = [](const std::string& unit, int dots, int per_minute) {
    std::string text = "<direction><direction-type><metronome><beat-unit>" + unit + "</beat-unit>";
    for (int i = 0; i < dots; ++i) text += "<beat-unit-dot/>";
    return text +
           fmt::format("<per-minute>{}</per-minute></metronome></direction-type></direction>",
                       per_minute);
  };
  const std::vector<Row> rows = {
      {"<sound tempo='90'/>", 90.0},
      {"<direction><direction-type><words>x</words></direction-type><sound tempo='72.5'/>"
       "</direction>",
       72.5},
      {mark("quarter", 0, 100), 100.0},
      {mark("quarter", 1, 60), 90.0},
      {mark("half", 0, 60), 120.0},
      {mark("eighth", 2, 100), 87.5},
  };
  for (const Row& row : rows) {
    const Result<Score> score = read(score_text({kFour + row.direction + kBar}));
    ASSERT_TRUE(score);
    EXPECT_NEAR(60e6 / static_cast<double>(score->tempo.microseconds_per_quarter_at({0.0})),
                row.quarters_a_minute, 1e-3);
  }
}

TEST(MusicXml, MakesTheStavesOfAPianoTwoHands) {
  const Result<Score> score = read(score_text({attributes(1, time(4, 4) + "<staves>2</staves>") +
                                               n("C5", 4, "", "<staff>1</staff>") + backup(4) +
                                               n("C3", 4, "", "<staff>2</staff>")}));
  ASSERT_TRUE(score);
  ASSERT_EQ(score->parts.size(), 2u);
  EXPECT_EQ(score->parts[0].name, "right hand");
  EXPECT_EQ(score->parts[1].name, "left hand");
  EXPECT_EQ(score->parts[1].number, 2);
}

}  // namespace
}  // namespace arsis
