// A score without a plan: told by itself, a plan is drafted for it, never a reason to stop.
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <tuple>
#include <vector>

#include "plan/tuning.h"
#include "smf/score_reader.h"
#include "tool/lantern_steps.h"
#include "tool/load.h"
#include "tool/run_arsis.h"
#include "tool/small_midi.h"

namespace arsis::test {
namespace {

struct Bench : Folder {
  Bench() {
    copy_lantern(*this);
    write("steps.musicxml", lantern_steps());
    write("drums.mid", drum_beat());
    write("piano.mid", one_track_piano());
  }
  Score score(const std::string& name) const {
    Result<Score> read = read_score(path() / name);
    EXPECT_TRUE(read) << name;
    return read ? *std::move(read) : Score{};
  }
};

const std::string kWarning =
    "this is a score, not a plan: a plan is drafted for it; `arsis draft` writes it down\n";
const std::string kAsWritten =
    "this is a score, not a plan: it is played as written; write a phrase plan for it to have it "
    "shaped\n";

// What a listener could tell apart.
using Sounding = std::tuple<double, double, int, int>;
std::vector<Sounding> sounding(const Score& score) {
  std::vector<Sounding> notes;
  for (const Note& note : score.notes) {
    notes.emplace_back(note.onset.value, note.end.value, note.key, note.velocity.value());
  }
  return notes;
}

TEST(ScoreAlone, IsToldByItsEndingOrItsFirstBytes) {
  const Bench bench;
  std::filesystem::copy_file(bench.path() / "lantern-song.mid", bench.path() / "lantern");
  bench.write("plan.yaml", "arsis: 1\n");
  bench.write("short", "MT");
  EXPECT_TRUE(is_score(bench.path() / "lantern-song.mid"));
  EXPECT_TRUE(is_score(bench.path() / "lantern"));
  for (const char* name : {"a.MID", "a.midi", "a.musicxml", "a.xml", "a.MXL"}) {
    EXPECT_TRUE(is_score(bench.path() / name)) << name;
  }
  for (const char* name : {"plan.yaml", "short", "none", "."}) {
    EXPECT_FALSE(is_score(bench.path() / name)) << name;
  }
}

TEST(ScoreAlone, IsCheckedAndSaysSo) {
  const Ran ran = Bench().arsis("check steps.musicxml");
  EXPECT_EQ(ran.code, 0);
  EXPECT_EQ(ran.err, "steps.musicxml: warning: " + kWarning);
  EXPECT_TRUE(ran.out.starts_with(
      "Lantern Steps\n"
      "steps.musicxml: bars 1 to 4, 4/4, 46 notes, 0:13\n"
      "parts: right hand (melody), left hand (accompaniment, -4 dB)\n"
      "bars 1 to 2 are played twice: 1:1 is the first time, 1:1/2nd the second\n"
      "\n"
      "                      from     to       goal       ceiling    level\n"
      "  sentence 1          1:1      "))
      << ran.out;
  EXPECT_NE(ran.out.find("dynamics\n  1:1      mf                  steps.musicxml:9\n"),
            std::string::npos)
      << ran.out;
  const nlohmann::json json =
      nlohmann::json::parse(Bench().arsis("check --json steps.musicxml").out);
  EXPECT_EQ(json["readable"], true);
  EXPECT_GE(json["sentences"].size(), 1u);
  EXPECT_EQ(json["main"], nullptr);
  EXPECT_EQ(json["diagnostics"].size(), 1u);
}

TEST(ScoreAlone, OfMidiIsConvertedNoteForNote) {
  const Bench bench;
  ASSERT_EQ(bench.arsis("render lantern-song.mid -o x.mid --amount 0%").code, 0);
  EXPECT_EQ(sounding(bench.score("x.mid")), sounding(bench.score("lantern-song.mid")));
  ASSERT_EQ(bench.arsis("render lantern-song.mid -o x.mid --amount 0% --touch on").code, 0);
  EXPECT_NE(sounding(bench.score("x.mid")), sounding(bench.score("lantern-song.mid")));
}

TEST(ScoreAlone, OfAPageIsConvertedNoteForNoteWithItsDynamics) {
  const Bench bench;
  ASSERT_EQ(bench.arsis("render steps.musicxml -o x.mid --amount 0%").code, 0);
  struct Struck {
    double at;
    double to;
    int key;
    double step;  // from mf
  };
  // The dim ends a step lower on beat 4, having fallen in a straight line.
  const std::vector<Struck> right = {{0, 1, 72, 0},   {1, 2, 74, 0},        {2, 3, 76, 0},
                                     {3, 4, 77, 0},   {5, 6, 77, -1 / 3.0}, {6, 7, 76, -2 / 3.0},
                                     {7, 8, 74, -1},  {8, 9, 72, 0},        {16, 17, 72, -2},
                                     {17, 18, 74, 1}, {18, 19, 76, -2},     {20, 21, 76, -2},
                                     {22, 24, 72, -2}};
  const std::vector<Struck> left = {
      {0, 1, 48, 0}, {7, 8, 53, -1}, {16, 17, 48, 1}, {18, 19, 55, -2}};
  const Score score = bench.score("x.mid");
  ASSERT_EQ(score.notes.size(), 46u);
  ASSERT_EQ(score.parts.size(), 2u);
  const Tuning tuning;
  const Decibels step = level_of_dynamic(0, tuning) - level_of_dynamic(-1, tuning);
  for (std::uint16_t part = 0; part < 2; ++part) {
    for (const Struck& struck : part == 0 ? right : left) {
      SCOPED_TRACE(struck.at);
      const auto note = std::ranges::find_if(score.notes, [&](const Note& each) {
        return each.part == part && each.onset == Beats{struck.at};
      });
      ASSERT_NE(note, score.notes.end());
      EXPECT_EQ(note->end, Beats{struck.to});
      EXPECT_EQ(note->key, struck.key);
      EXPECT_EQ(note->velocity, velocity_at(level_of_dynamic(0, tuning) + step * struck.step));
    }
  }
}

TEST(ScoreAlone, OfOneTrackIsConvertedNoteForNoteThoughItsHandsAreToldApart) {
  const Bench bench;
  ASSERT_EQ(bench.arsis("render piano.mid -o x.mid --amount 0%").code, 0);
  EXPECT_EQ(sounding(bench.score("x.mid")), sounding(bench.score("piano.mid")));
}

TEST(ScoreAlone, IsShapedAsItsDraftIs) {
  const Bench bench;
  for (const std::string name : {"lantern-song.mid", "piano.mid", "steps.musicxml"}) {
    ASSERT_EQ(bench.arsis("draft " + name + " --force -o draft.yaml").code, 0);
    ASSERT_EQ(bench.arsis("render draft.yaml -o of-draft.mid").code, 0);
    ASSERT_EQ(bench.arsis("render " + name + " -o of-score.mid").code, 0);
    EXPECT_EQ(bench.read("of-score.mid"), bench.read("of-draft.mid")) << name;
  }
}

TEST(ScoreAlone, HasBlocksToBePlayed) {
  const Bench bench;
  for (const char* passage : {"--sentence 1", "--phrase 1.1", "--motif 1.1.2"}) {
    const Ran ran = bench.arsis(std::string("render lantern-song.mid -o x.mid ") + passage);
    EXPECT_EQ(ran.code, 0) << ran.err;
    EXPECT_EQ(ran.err, "lantern-song.mid: warning: " + kWarning);
  }
}

TEST(ScoreAlone, WithoutAMelodyIsPlayedAsWrittenAndKnowsNoBlocks) {
  const Bench bench;
  const Ran checked = bench.arsis("check drums.mid");
  EXPECT_EQ(checked.code, 0);
  EXPECT_EQ(checked.err, "drums.mid: warning: " + kAsWritten);
  EXPECT_NE(checked.out.find("no blocks: nothing is shaped\n"), std::string::npos);
  for (const std::string option : {"--sentence", "--phrase", "--motif"}) {
    const Ran ran = bench.arsis("render drums.mid -o x.mid " + option + " 1");
    EXPECT_EQ(ran.code, 2);
    EXPECT_EQ(ran.err, "drums.mid: warning: " + kAsWritten + option +
                           ": there are no blocks in a score without a plan; name a passage by "
                           "bars, with --from and --to\n");
  }
  EXPECT_FALSE(bench.has("x.mid"));
}

TEST(ScoreAlone, IsTakenByEveryOption) {
  const Bench bench;
  for (const char* score : {"steps.musicxml", "lantern-song.mid", "piano.mid"}) {
    for (const char* options :
         {"", "--touch off", "--only motif", "--without phrase,piece", "--seed 3", "--from 2:1",
          "--to 3:1", "--tempo 50%", "--tempo '60 bpm'", "--count-in 2 --click", "--voice sing",
          "--voice strings --from 2:3", "--levels law", "--versions flat,shaped,piece",
          "--timing ticks", "--part 'right hand'", "--mute 'left hand' --keep-muted"}) {
      const Ran ran = bench.arsis(std::string("render ") + score + " -o x.mid " + options);
      EXPECT_EQ(ran.code, 0) << score << " " << options << ": " << ran.err;
    }
  }
}

TEST(ScoreAlone, IsNeverWrittenOver) {
  const Bench bench;
  const std::string before = bench.read("lantern-song.mid");
  const Ran ran = bench.arsis("render lantern-song.mid -o lantern-song.mid --amount 0%");
  EXPECT_EQ(ran.code, 2);
  EXPECT_EQ(
      ran.err,
      "lantern-song.mid: warning: " + kWarning +
          "lantern-song.mid: is what a performance is made from; name another file to write\n");
  EXPECT_EQ(bench.read("lantern-song.mid"), before);
}

TEST(ScoreAlone, SaysWhatIsWrongWithIt) {
  const Bench bench;
  bench.write("words.mid", "arsis: 1\n");
  bench.write("words.musicxml", "arsis: 1\n");
  for (const char* name : {"words.mid", "words.musicxml", "none.mid", "none.mxl"}) {
    const Ran ran = bench.arsis(std::string("check ") + name);
    EXPECT_EQ(ran.code, 1) << name;
    EXPECT_TRUE(ran.err.starts_with(name)) << ran.err;
    EXPECT_EQ(ran.err.find("warning"), std::string::npos) << ran.err;
  }
}

}  // namespace
}  // namespace arsis::test
