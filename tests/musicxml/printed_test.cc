// What stands beside the notes of a page, of one notion each, and what holds by it.
// Source of what the elements mean: W3C MusicXML 4.0, the reference of `dynamics`, `wedge`,
// `words`, `dashes`, `articulations`, `fermata`, `slur`, `sound` and `offset`.
#include "plan/printed.h"

#include <gtest/gtest.h>

#include "musicxml/score_text.h"
#include "plan/marks.h"
#include "plan/tuning.h"

namespace arsis {
namespace {

using namespace test;  // NOLINT: the notation of the tables

const std::string kPiano = attributes(1, time(4, 4) + "<staves>2</staves>");

std::string direction(const std::string& type, const std::string& after = "",
                      const std::string& placement = "") {
  return "<direction" + (placement.empty() ? "" : " placement='" + placement + "'") +
         "><direction-type>" + type + "</direction-type>" + after + "</direction>\n";
}
std::string dyn(const std::string& name) {
  return direction("<dynamics><" + name + "/></dynamics>");
}
std::string wedge(const std::string& type, const std::string& more = "") {
  return direction("<wedge type='" + type + "' " + more + "/>");
}
std::string words(const std::string& text) { return direction("<words>" + text + "</words>"); }
std::string dashes(const std::string& type) { return direction("<dashes type='" + type + "'/>"); }
std::string mark(const std::string& name) {
  return "<notations><articulations><" + name + "/></articulations></notations>";
}

std::string name_of_step(int step) {
  return std::string(dynamic_names()[static_cast<std::size_t>(step + 5)]);
}

// "0 p, 4..8 cresc to f (staff 10)": by moment, with the parts of one staff alone.
std::string dynamics_of(const Printed& printed) {
  std::string text;
  for (const PrintedDynamic& each : printed.dynamics) {
    text += text.empty() ? "" : ", ";
    if (each.from < each.to) {
      text += fmt::format("{:g}..{:g} {}", each.from.value, each.to.value,
                          each.rises ? "cresc" : "dim");
      if (each.step) text += " to " + name_of_step(*each.step);
    } else {
      text += fmt::format("{:g} {}", each.from.value, name_of_step(*each.step));
    }
    if (!each.is_of_staff) continue;
    text += " (";
    for (const bool part : each.parts) text += part ? '1' : '0';
    text += ")";
  }
  return text;
}

// "0:accent 2:fp": onset and mark of each.
std::string marks_of(const PrintedScore& read) {
  std::string text;
  for (const PrintedMark& each : read.printed.marks) {
    std::string word;
    for (const std::string_view name : mark_names()) {
      if (word.empty() && mark_named(name) == each.mark) word = name;
    }
    text += fmt::format("{}{:g}:{}", text.empty() ? "" : " ",
                        read.score.notes[each.note].onset.value, word);
  }
  return text;
}

struct PageCase {
  const char* what;
  std::vector<std::string> measures;
  const char* expected;
};

const std::string kTune = n("C5", 1) + n("D5", 1) + n("E5", 1) + n("F5", 1);

std::vector<PageCase> dynamic_cases() {
  const std::string c = n("C5", 1);
  return {
      {"a mark", {kFour + dyn("p") + kTune}, "0 p"},
      {"a mark within a bar", {kFour + c + c + dyn("ff") + c + c}, "2 ff"},
      {"a mark in a note's notations",
       {kFour + c + n("D5", 3, "", "<notations><dynamics><mf/></dynamics></notations>")},
       "1 mf"},
      {"marks softer and louder than there are names for",
       {kFour + dyn("pppppp") + c + c + dyn("fffff") + c + c},
       "0 pppp, 2 ffff"},
      {"a mark in other words",
       {kFour + direction("<dynamics><other-dynamics>sotto voce</other-dynamics></dynamics>") +
        kTune},
       "0 p"},
      {"a mark as a word",
       {kFour + words("f") + kTune, words("sempre pianissimo") + kTune},
       "0 f, 4 pp"},
      {"a hairpin to the mark after it",
       {kFour + dyn("p") + c + wedge("crescendo") + c + c + c + wedge("stop"), dyn("f") + kTune},
       "0 p, 1..4 cresc, 4 f"},
      {"a hairpin that ends in the next bar",
       {kFour + dyn("f") + kTune + wedge("diminuendo"), c + c + wedge("stop") + c + c},
       "0 f, 4..6 dim"},
      {"a hairpin that nothing ends goes to the next mark",
       {kFour + dyn("p") + wedge("crescendo") + kTune, c + dyn("f") + c + c + c},
       "0 p, 0..5 cresc, 5 f"},
      {"a hairpin that nothing ends and nothing follows",
       {kFour + dyn("p") + wedge("crescendo") + kTune, kTune},
       "0 p, 0..8 cresc"},
      {"a hairpin from nothing",
       {kFour + wedge("crescendo", "niente='yes'") + kTune + wedge("stop"), dyn("f") + kTune},
       "0 pppp, 0..4 cresc, 4 f"},
      {"a hairpin to nothing",
       {kFour + dyn("p") + wedge("diminuendo") + kTune + wedge("stop", "niente='yes'")},
       "0 p, 0..4 dim to pppp"},
      {"a hairpin that ends a little after its mark",
       {kFour + dyn("p") + wedge("crescendo") + c + c + c + dyn("f") + c + wedge("stop")},
       "0 p, 0..3 cresc, 3 f"},
      {"a mark a little after the hairpin's beginning is what it leaves from",
       {kFour + wedge("crescendo") + c + dyn("p") + kTune.substr(0, kTune.size() / 4 * 3), kTune,
        wedge("stop") + dyn("f") + kTune},
       "1 p, 1..8 cresc, 8 f"},
      {"a mark under a hairpin from which it goes on",
       {kFour + dyn("p") + wedge("crescendo") + kTune + "", dyn("mf") + kTune + kTune.substr(0, 0),
        kTune, wedge("stop") + dyn("ff") + kTune},
       "0 p, 0..4 cresc, 4 mf, 4..12 cresc, 12 ff"},
      {"a hairpin under another ends it",
       {kFour + wedge("crescendo", "number='1'") + c + c + wedge("diminuendo", "number='2'") + c +
            c + wedge("stop", "number='1'"),
        kTune + wedge("stop", "number='2'")},
       "0..2 cresc, 2..8 dim"},
      {"cresc. to the next mark",
       {kFour + dyn("p") + words("cresc.") + kTune, dyn("f") + kTune},
       "0 p, 0..4 cresc, 4 f"},
      {"cresc. to where its dashes end",
       {kFour + dyn("p") +
            direction("<words>cresc.</words></direction-type><direction-type>"
                      "<dashes type='start' number='2'/>") +
            kTune,
        c + c + direction("<dashes type='stop' number='2'/>") + c + c, dyn("f") + kTune},
       "0 p, 0..6 cresc, 8 f"},
      {"cresc. whose dashes are a direction of their own",
       {kFour + words("poco a poco cresc.") + dashes("start") + kTune, dashes("stop") + kTune},
       "0..4 cresc"},
      {"dim. to the next hairpin",
       {kFour + dyn("f") + words("dimin.") + c + c + wedge("crescendo") + c + c + wedge("stop")},
       "0 f, 0..2 dim, 2..4 cresc"},
      {"words that deny", {kFour + dyn("f") + words("senza cresc.") + kTune}, "0 f"},
      {"a forte-piano leaves a piano", {kFour + dyn("fp") + kTune}, "0 p"},
      {"a sforzato-piano too", {kFour + c + dyn("sfpp") + c + c + c}, "1 pp"},
      {"the same mark twice", {kFour + dyn("p") + dyn("p") + kTune}, "0 p"},
      {"a mark moved by a little is the note's",
       {attributes(4, time(4, 4)) + n("C5", 4) +
        direction("<dynamics><f/></dynamics>", "<offset>-1</offset>") + n("D5", 12)},
       "1 f"},
      {"a mark moved far is where it stands",
       {attributes(4, time(4, 4)) + direction("<dynamics><f/></dynamics>", "<offset>8</offset>") +
        n("C5", 16)},
       "2 f"},
      {"a hairpin's end moved",
       {attributes(4, time(4, 4)) + wedge("crescendo") + n("C5", 16) +
        direction("<wedge type='stop'/>", "<offset>-4</offset>")},
       "0..3 cresc"},
      {"a repeat plays them again",
       {kFour + dyn("p") + kTune, wedge("crescendo") + kTune + wedge("stop") + repeat_ends()},
       "0 p, 4..8 cresc, 8 p, 12..16 cresc"},
      {"a hairpin over a repeat's end ends there at first",
       {kFour + dyn("p") + c + wedge("crescendo") + c + c + c + repeat_ends(),
        c + wedge("stop") + c + c + c},
       "0 p, 1..4 cresc, 4 p, 5..9 cresc"},
  };
}

TEST(PrintedPage, HasTheDynamicsOfThePage) {
  for (const auto& [what, measures, expected] : dynamic_cases()) {
    const Result<PrintedScore> read = played_of(score_text(measures));
    ASSERT_TRUE(read) << what;
    EXPECT_EQ(dynamics_of(read->printed), expected) << what;
    EXPECT_EQ(messages_of(read.diagnostics()), "") << what;
  }
}

// One hand each; `more` stands before the notes.
std::string hands(const std::string& more) {
  return kPiano + more + n("C5", 4, "", "<staff>1</staff>") + backup(4) +
         n("C3", 4, "", "<staff>2</staff>");
}

TEST(PrintedPage, KnowsTheStaffOfADynamicByItsPlace) {
  const auto at = [](int staff, const std::string& placement, const std::string& name = "f") {
    return direction("<dynamics><" + name + "/></dynamics>",
                     staff > 0 ? fmt::format("<staff>{}</staff>", staff) : "", placement);
  };
  const std::vector<PageCase> cases = {
      {"no staff", {hands(at(0, "below"))}, "0 f"},
      {"between the staves, at the upper", {hands(at(1, "below"))}, "0 f"},
      {"between the staves, at the lower", {hands(at(2, "above"))}, "0 f"},
      {"the upper without a word on where", {hands(at(1, ""))}, "0 f"},
      {"over the upper", {hands(at(1, "above"))}, "0 f (10)"},
      {"under the lower", {hands(at(2, "below"))}, "0 f (01)"},
      {"at the lower without a word on where", {hands(at(2, ""))}, "0 f (01)"},
      {"two that agree", {hands(at(1, "below") + at(2, "above"))}, "0 f"},
      {"two that do not agree",
       {hands(at(1, "below") + at(2, "above", "p"))},
       "0 f (10), 0 p (01)"},
      {"one for all and one for the left",
       {hands(at(1, "below") + at(2, "below", "p"))},
       "0 f, 0 p (01)"},
  };
  for (const auto& [what, measures, expected] : cases) {
    const Result<PrintedScore> read = played_of(score_text(measures));
    ASSERT_TRUE(read) << what;
    EXPECT_EQ(dynamics_of(read->printed), expected) << what;
  }
}

std::vector<PageCase> mark_cases() {
  const std::string c = n("C5", 1);
  const auto with = [](const std::string& name) { return n("D5", 1, "", mark(name)); };
  const auto slurred = [](const std::string& type, const std::string& more = "") {
    return n("D5", 1, "",
             "<notations><slur type='" + type + "' number='1'/>" + more + "</notations>");
  };
  const std::string dot = "<articulations><staccato/></articulations>";
  return {
      {"articulations",
       {kFour + with("accent") + with("strong-accent") + with("tenuto") + with("staccato"),
        with("staccatissimo") + with("detached-legato") + with("spiccato") + with("stress")},
       "0:accent 1:marcato 2:tenuto 3:staccato 4:staccatissimo 5:portato 6:staccatissimo 7:accent"},
      {"over a chord they stand at its first note",
       {kFour + with("accent") + n("F5", 1, "<chord/>") + c},
       "0:accent 0:accent"},
      {"and not in the other voice",
       {kFour + with("accent") + backup(1) + n("C4", 1, "", "<voice>2</voice>")},
       "0:accent"},
      {"a fermata over a note",
       {kFour + n("C5", 4, "", "<notations><fermata/></notations>")},
       "0:fermata"},
      {"sf and its kin",
       {kFour + dyn("sf") + c + dyn("sfz") + c + dyn("fz") + c + dyn("rfz") + c},
       "0:sf 1:sf 2:sf 3:sf"},
      {"fp", {kFour + c + dyn("fp") + c}, "1:fp"},
      {"sfp is both", {kFour + dyn("sfp") + c}, "0:fp 0:sf"},
      {"rolled chords",
       {kFour + n("C5", 4, "", "<notations><arpeggiate/></notations>") +
        n("E5", 4, "<chord/>", "<notations><arpeggiate/></notations>")},
       "0:arpeggio 0:arpeggio"},
      {"a slur over dots is a portato",
       {kFour + slurred("start", dot) + with("staccato") + slurred("stop", dot)},
       "0:portato 1:portato 2:portato"},
      {"a dot at a slur's end is one",
       {kFour + slurred("start") + slurred("stop", dot)},
       "1:staccato"},
      {"a mark at a note that is tied on is its own",
       {kFour + n("C5", 4, "", "<tie type='start'/>" + mark("accent")),
        n("C5", 4, "", "<tie type='stop'/><notations><fermata/></notations>")},
       "0:accent 0:fermata"},
  };
}

TEST(PrintedPage, HasTheMarksOfItsNotes) {
  for (const auto& [what, measures, expected] : mark_cases()) {
    const Result<PrintedScore> read = played_of(score_text(measures));
    ASSERT_TRUE(read) << what;
    EXPECT_EQ(marks_of(*read), expected) << what;
  }
}

TEST(PrintedPage, HoldsFermatasOverNotesRestsAndBarLines) {
  const std::string fermata = "<notations><fermata/></notations>";
  const Result<PrintedScore> read =
      played_of(score_text({kFour + n("C5", 1) + n("D5", 1, "", fermata) + n("r", 2, "", fermata),
                            n("C5", 4, "", "<tie type='start'/>"),
                            n("C5", 2, "", "<tie type='stop'/>" + fermata) + n("C5", 2) +
                                "<barline><fermata/></barline>"}));
  ASSERT_TRUE(read);
  std::string text;
  for (const PrintedFermata& each : read->printed.fermatas) {
    text += fmt::format("{:g}..{:g} ", each.span.begin.value, each.span.end.value);
  }
  EXPECT_EQ(text, "1..2 2..4 8..10 11..12 ");
}

TEST(PrintedPage, BreathesWhereTheNoteEnds) {
  const Result<PrintedScore> read =
      played_of(score_text({kPiano + n("C5", 1, "", "<staff>1</staff>" + mark("breath-mark")) +
                            n("C5", 3, "", "<staff>1</staff>" + mark("caesura")) + backup(4) +
                            n("C3", 4, "", "<staff>2</staff>")}));
  ASSERT_TRUE(read);
  std::string text;
  for (const PrintedBreath& each : read->printed.breaths) {
    text += fmt::format("{:g}:{:d}{:d} ", each.at.value, static_cast<int>(each.parts[0]),
                        static_cast<int>(each.parts[1]));
  }
  EXPECT_EQ(text, "1:10 4:11 ");
}

TEST(PrintedPage, HasSlursFromNoteToNoteInTheirVoice) {
  const auto slur = [](const std::string& type, int number, const std::string& pitch) {
    return n(pitch, 1, "",
             fmt::format("<notations><slur type='{}' number='{}'/></notations>", type, number));
  };
  const Result<PrintedScore> read = played_of(score_text(
      {kFour + slur("start", 1, "C5") + slur("start", 2, "D5") + slur("stop", 2, "E5") + n("F5", 1),
       slur("stop", 1, "G5") + slur("start", 1, "A5") + n("G5", 1) + n("F5", 1)}));
  ASSERT_TRUE(read);
  std::string text;
  for (const PrintedSlur& each : read->printed.slurs) {
    text += fmt::format("{}-{} ", each.first, each.last);
  }
  EXPECT_EQ(text, "0-4 1-2 ");  // the one that never ends is none
}

// MusicXML 4.0, elements `sound` and `note`: "dynamics" is a percentage of the default forte value,
// 90 for MIDI 1.0.
TEST(PrintedPage, TakesLoudnessAsPercentOfVelocity90) {
  struct Row {
    const char* percent;
    int velocity;
  };
  for (const Row& row : {Row{"100", 90}, Row{"88.89", 80}, Row{"71.11", 64}, Row{"54.44", 49},
                         Row{"141.11", 127}, Row{"400", 127}, Row{"0", 1}}) {
    const std::string percent = row.percent;
    const Result<PrintedScore> read = played_of(
        score_text({kFour + "<sound dynamics='" + percent + "'/>" + n("C5", 2) + n("D5", 2)}));
    ASSERT_TRUE(read);
    EXPECT_EQ(read->score.notes[1].velocity.value(), row.velocity) << percent;
    std::string note = n("C5", 4);
    note.insert(5, " dynamics='" + percent + "'");
    const Result<PrintedScore> own =
        played_of(score_text({kFour + "<sound dynamics='50'/>" + note}));
    ASSERT_TRUE(own);
    EXPECT_EQ(own->score.notes[0].velocity.value(), row.velocity) << percent;
  }
}

TEST(PrintedPage, IsMezzoForteWhereItSaysNothing) {
  const Result<PrintedScore> read = played_of(score_text({kFour + kTune}));
  ASSERT_TRUE(read);
  EXPECT_EQ(read->score.notes[0].velocity, velocity_at(level_of_dynamic(0, Tuning{})));
  EXPECT_TRUE(read->printed.dynamics.empty());
}

TEST(PrintedPage, NamesEveryNoteByItsElement) {
  std::string named = n("D5", 1);
  named.insert(5, " id='second'");
  std::string tied = n("E5", 2, "", "<tie type='stop'/>");
  tied.insert(5, " id='rest-of-it'");
  const Result<PrintedScore> read =
      played_of(score_text({kFour + n("C5", 1) + named + n("E5", 2, "", "<tie type='start'/>"),
                            tied + n("C5", 2) + repeat_ends()}));
  ASSERT_TRUE(read);
  const std::vector<std::string> once = {"arsis-1-1", "second", "arsis-1-3", "arsis-1-5"};
  std::vector<std::string> expected = once;
  expected.insert(expected.end(), once.begin(), once.end());
  EXPECT_EQ(read->printed.note_ids, expected);
}

TEST(PrintedPage, SaysWhereEachOfItsMarksStands) {
  const Result<PrintedScore> read = played_of(
      "<score-partwise><part id='P1'><measure number='1'>\n<attributes><divisions>1"
      "</divisions></attributes>\n"
      "<direction><direction-type><dynamics>\n<p/></dynamics></direction-type>"
      "</direction>\n<note><pitch><step>C</step><octave>4</octave></pitch>"
      "<duration>4</duration><notations><fermata/></notations></note>"
      "</measure></part></score-partwise>");
  ASSERT_TRUE(read);
  ASSERT_EQ(read->printed.dynamics.size(), 1u);
  EXPECT_EQ(read->printed.dynamics[0].place, (Place{4, 2}));
  ASSERT_EQ(read->printed.marks.size(), 1u);
  EXPECT_EQ(read->printed.marks[0].place.line, 5);
  EXPECT_EQ(read->printed.file, "x.musicxml");
}

}  // namespace
}  // namespace arsis
