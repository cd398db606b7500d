// The tempo that a page asks for, as changes of a MIDI file.
#include "musicxml/written_tempo.h"

#include <gtest/gtest.h>

#include "musicxml/score_text.h"

namespace arsis {
namespace {

using namespace test;  // NOLINT: the notation of the tables

std::string words(const std::string& text, const std::string& sound = "") {
  return "<direction><direction-type><words>" + text + "</words></direction-type>" + sound +
         "</direction>\n";
}
std::string dashes(const std::string& type) {
  return "<direction><direction-type><dashes type='" + type + "'/></direction-type></direction>\n";
}
std::string equal(const std::string& a, const std::string& b) {
  return "<direction><direction-type><metronome>" + a + b +
         "</metronome></direction-type></direction>\n";
}
std::string per_minute(const std::string& text) {
  return "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>" + text +
         "</per-minute></metronome></direction-type></direction>\n";
}
const std::string kQuarter = "<beat-unit>quarter</beat-unit>";
const std::string kDotted = kQuarter + "<beat-unit-dot/>";
const std::string kAt100 = "<sound tempo='100'/>";

struct TempoCase {
  const char* what;
  std::vector<std::string> measures;
  const char* tempos;  // "moment:quarter notes a minute"
};

std::vector<TempoCase> cases() {
  const std::string c = n("C5", 1);
  return {
      {"none", {kFour + kBar}, "0:120"},
      {"sound has the last word",
       {kFour + words("Andante", "<sound tempo='80'/>") + per_minute("90") + kBar},
       "0:80"},
      {"a mark before its word", {kFour + words("Andante") + per_minute("90") + kBar}, "0:90"},
      {"about", {kFour + per_minute("ca. 72") + kBar}, "0:72"},
      {"between two", {kFour + per_minute("60-66") + kBar}, "0:63"},
      {"a word alone", {kFour + words("Andante") + kBar}, "0:76"},
      {"of halves", {attributes(1, time(2, 2)) + words("Allegro") + kBar}, "0:264"},
      {"of dotted quarters", {attributes(2, time(6, 8)) + words("Andante") + n("C5", 6)}, "0:114"},
      {"a quarter as a dotted quarter before",
       {kFour + kAt100 + kBar, equal(kDotted, kQuarter) + kBar},
       "0:100 4:66.67"},
      {"a dotted quarter as a quarter before",
       {kFour + kAt100 + kBar, equal(kQuarter, kDotted) + kBar},
       "0:100 4:150"},
      {"rit. to a tempo",
       {kFour + kAt100 + c + c + words("rit.") + c + c, words("a tempo") + kBar},
       "0:100 2:92.5 2.5:85 3:77.5 3.5:70 4:100"},
      {"rit. with a tempo of its own",
       {kFour + kAt100 + kBar, words("rit.", "<sound tempo='60'/>") + kBar},
       "0:100 4:60"},
      {"rit. over its dashes",
       {kFour + kAt100 + c + c + words("rit.") + dashes("start") + c + dashes("stop") + c,
        words("a tempo") + kBar},
       "0:100 2:85 2.5:70 3:100"},
      {"rit. at the end", {kFour + kAt100 + c + c + c + words("rall.") + c}, "0:100 3:85 3.5:70"},
      {"rit. that nothing ends is over after two bars",
       {attributes(1, time(1, 4)) + kAt100 + words("rit.") + c, c, c, c},
       "0:92.5 0.5:85 1:77.5 1.5:70 2:100"},
      {"meno mosso until the next mark",
       {kFour + kAt100 + kBar, words("meno mosso") + kBar, per_minute("60") + kBar},
       "0:100 4:85 8:60"},
      {"a tempo goes back over it",
       {kFour + kAt100 + kBar, words("ritenuto") + c + c + words("a tempo") + c + c},
       "0:100 4:85 6:100"},
      {"tempo primo goes back to the first",
       {kFour + kAt100 + kBar, per_minute("60") + kBar, words("Tempo I") + kBar},
       "0:100 4:60 8:100"},
      {"accel.",
       {kFour + kAt100 + c + c + c + words("accel.") + c, per_minute("130") + kBar},
       "0:100 3:115 3.5:130"},
      {"a repeat plays them again",
       {kFour + kAt100 + c + c + c + words("rit.") + c + repeat_ends()},
       "0:100 3:85 3.5:70 4:100 7:85 7.5:70"},
  };
}

TEST(WrittenTempo, IsAsThePageAsks) {
  for (const auto& [what, measures, tempos] : cases()) {
    const Result<PrintedScore> read = played_of(score_text(measures));
    ASSERT_TRUE(read) << what;
    EXPECT_EQ(tempos_of(read->score), tempos) << what;
  }
}

TEST(WrittenTempo, SaysThatAWordAloneIsAGuess) {
  const Result<PrintedScore> read = played_of(score_text({kFour + words("Largo") + kBar}));
  ASSERT_TRUE(read);
  EXPECT_EQ(messages_of(read.diagnostics()),
            "x.musicxml:7:29: warning: a tempo is given by its word alone; a usual speed is taken; "
            "write a metronome mark\n");
}

TEST(WrittenTempo, HasNothingToSayOfAWordBesideANumber) {
  // Exports write the two as one direction or as two.
  for (const std::string& both :
       {words("Largo") + per_minute("50"), per_minute("50") + words("Largo")}) {
    const Result<PrintedScore> read = played_of(score_text({kFour + both + kBar}));
    ASSERT_TRUE(read);
    EXPECT_EQ(messages_of(read.diagnostics()), "");
  }
}

}  // namespace
}  // namespace arsis
