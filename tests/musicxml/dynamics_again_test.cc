// What holds when a passage is played again: common practice, no source.
#include "musicxml/dynamics_again.h"

#include <gtest/gtest.h>

#include "musicxml/score_text.h"
#include "plan/marks.h"

namespace arsis {
namespace {

using namespace test;  // NOLINT: the notation of the tables

const std::string kPiano = attributes(1, time(4, 4) + "<staves>2</staves>");
const std::string kBoth = n("C5", 4) + backup(4) + n("C3", 4, "", "<staff>2</staff>");

std::string direction(const std::string& type, const std::string& after = "",
                      const std::string& placement = "below") {
  return "<direction placement='" + placement + "'><direction-type>" + type + "</direction-type>" +
         after + "</direction>\n";
}
std::string dyn(const std::string& name, int staff = 1) {
  return direction("<dynamics><" + name + "/></dynamics>",
                   "<staff>" + std::to_string(staff) + "</staff>");
}
std::string words(const std::string& text) { return direction("<words>" + text + "</words>"); }
std::string wedge(const std::string& type) { return direction("<wedge type='" + type + "'/>"); }
std::string tempo(int number) { return fmt::format("<sound tempo='{}'/>\n", number); }

// "0 p, 4..8 cresc", with the parts of one staff alone.
std::string dynamics_of(const Printed& printed) {
  std::string text;
  for (const PrintedDynamic& each : printed.dynamics) {
    text += text.empty() ? "" : ", ";
    text += fmt::format("{:g}", each.from.value);
    if (each.from < each.to) text += fmt::format("..{:g}", each.to.value);
    if (each.step) text += " " + std::string(dynamic_name(*each.step));
    if (each.is_of_staff) text += each.parts[0] ? " (right)" : " (left)";
  }
  return text;
}

TEST(DynamicsAgain, AreThoseThatHeldAtFirst) {
  struct Row {
    const char* what;
    std::vector<std::string> measures;
    const char* dynamics;
  };
  const std::string begins = repeat_begins();
  const std::string ends = repeat_ends();
  const std::vector<Row> rows = {
      {"a mark before the repeat sign",
       {kFour + dyn("p") + kBar, begins + kBar, dyn("f") + kBar + ends},
       "0 p, 8 f, 12 p, 16 f"},
      {"nothing else came", {kFour + dyn("p") + kBar, begins + kBar, kBar + ends}, "0 p"},
      {"a mark where the passage begins",
       {kFour + dyn("p") + kBar, begins + dyn("mf") + kBar, dyn("f") + kBar + ends},
       "0 p, 4 mf, 8 f, 12 mf, 16 f"},
      {"an ending is no way back",
       {kFour + dyn("p") + kBar, begins + kBar,
        ending("1", "start") + dyn("f") + kBar + ending("1", "stop") + ends,
        ending("2", "start") + kBar + ending("2", "stop")},
       "0 p, 8 f, 12 p"},
      {"a hairpin into the repeat leads to it",
       {kFour + dyn("p") + kBar, begins + kBar,
        dyn("f") + wedge("diminuendo") + kBar + wedge("stop") + ends},
       "0 p, 8 f, 8..12, 12 p, 16 f, 16..20"},
      {"where a hairpin led without a mark is not known",
       {kFour + dyn("p") + wedge("crescendo") + kBar + wedge("stop"), begins + kBar,
        dyn("ff") + kBar + ends},
       "0 p, 0..4, 8 ff, 16 ff"},
      {"a da capo",
       {kFour + dyn("p") + kBar, dyn("f") + kBar, words("D.C. al Fine") + kBar},
       "0 p, 4 f, 12 p, 16 f"},
      {"each hand its own",
       {kPiano + dyn("mf") + kBoth, dyn("p", 2) + kBoth, begins + kBoth, dyn("f") + kBoth + ends},
       "0 mf, 4 p (left), 12 f, 16 mf, 16 p (left), 20 f"},
      {"one hand's own is past",
       {kPiano + dyn("p", 2) + kBoth, dyn("mf") + kBoth, begins + kBoth, dyn("f") + kBoth + ends},
       "0 p (left), 4 mf, 12 f, 16 mf, 20 f"},
  };
  for (const auto& [what, measures, dynamics] : rows) {
    const Result<PrintedScore> read = played_of(score_text(measures));
    ASSERT_TRUE(read) << what;
    EXPECT_EQ(dynamics_of(read->printed), dynamics) << what;
  }
}

TEST(DynamicsAgain, GoWithTheTempo) {
  struct Row {
    const char* what;
    std::vector<std::string> measures;
    const char* tempos;
  };
  const std::string begins = repeat_begins();
  const std::string ends = repeat_ends();
  const std::vector<Row> rows = {
      {"a rit. ends with the passage",
       {kFour + tempo(100) + kBar, begins + kBar, n("C5", 3) + words("rit.") + n("C5", 1) + ends},
       "0:100 11:85 11.5:70 12:100 19:85 19.5:70"},
      {"a tempo of its middle",
       {kFour + tempo(100) + kBar, begins + kBar, tempo(60) + kBar + ends},
       "0:100 8:60 12:100 16:60"},
      {"what 'a tempo' goes back to as well",
       {kFour + tempo(100) + kBar, begins + words("meno mosso") + kBar, words("a tempo") + kBar,
        tempo(60) + kBar + ends},
       "0:100 4:85 8:100 12:60 16:85 20:100 24:60"},
  };
  for (const auto& [what, measures, tempos] : rows) {
    const Result<PrintedScore> read = played_of(score_text(measures));
    ASSERT_TRUE(read) << what;
    EXPECT_EQ(tempos_of(read->score), tempos) << what;
  }
}

}  // namespace
}  // namespace arsis
