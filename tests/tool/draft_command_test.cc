// `arsis draft` from outside: what it writes and prints, what it leaves alone, what it says.
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>

#include "tool/lantern_steps.h"
#include "tool/run_arsis.h"
#include "tool/small_midi.h"

namespace arsis::test {
namespace {

namespace fs = std::filesystem;

struct Bench : Folder {
  Bench() {
    for (const char* name : {"lantern-song.mid", "ferry-study.mid", "mill-round.mid"}) {
      copy_demo(*this, name);
    }
    write("steps.musicxml", lantern_steps());
    write("drums.mid", drum_beat());
    write("piano.mid", one_track_piano());
    write("plan.yaml", lantern_plan(kLanternSentences));
  }
};

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

TEST(DraftCommand, WritesPlansThatCheckHasNothingToSayOf) {
  const Bench bench;
  for (const std::string name :
       {"lantern-song.mid", "ferry-study.mid", "mill-round.mid", "piano.mid"}) {
    SCOPED_TRACE(name);
    const Ran ran = bench.arsis("draft " + name + " --force -o draft.yaml");
    EXPECT_EQ(ran.code, 0);
    EXPECT_EQ(ran.err, "");
    EXPECT_TRUE(ran.out.starts_with("draft.yaml: ")) << ran.out;
    const Ran checked = bench.arsis("check draft.yaml");
    EXPECT_EQ(checked.code, 0);
    EXPECT_TRUE(name == "piano.mid" || checked.err.empty()) << checked.err;
  }
}

TEST(DraftCommand, PrintsThePlanWhereNoFileIsNamed) {
  const Bench bench;
  const Ran printed = bench.arsis("draft mill-round.mid");
  EXPECT_EQ(printed.code, 0);
  EXPECT_EQ(printed.err, "");
  const Ran written = bench.arsis("draft mill-round.mid -o mill.yaml");
  EXPECT_EQ(bench.read("mill.yaml"), printed.out);
  EXPECT_EQ(written.out,
            "mill.yaml: 4 sentences, 12 phrases, 24 motifs; 6 of 16 choices in doubt\n");
  EXPECT_TRUE(holds(printed.out, "score: mill-round.mid\n"));
}

TEST(DraftCommand, NamesTheScoreAsSeenFromThePlan) {
  const Bench bench;
  fs::create_directory(bench.path() / "plans");
  EXPECT_EQ(bench.arsis("draft mill-round.mid -o plans/mill.yaml").code, 0);
  EXPECT_TRUE(holds(bench.read("plans/mill.yaml"), "score: ../mill-round.mid\n"));
  EXPECT_EQ(bench.arsis("check plans/mill.yaml").code, 0);
  fs::copy_file(bench.path() / "mill-round.mid", bench.path() / "mill: 'round' #2.mid");
  EXPECT_EQ(bench.arsis("draft \"mill: 'round' #2.mid\" -o two.yaml").code, 0);
  EXPECT_EQ(bench.arsis("check two.yaml").code, 0);
}

TEST(DraftCommand, NamesTheHandsOfAOneTrackFile) {
  const Bench bench;
  EXPECT_EQ(bench.arsis("draft piano.mid -o draft.yaml").code, 0);
  EXPECT_TRUE(holds(bench.read("draft.yaml"),
                    "  - {name: right hand, track: 1, channel: 1, hand: right, role: melody}  # "
                    "highest for 100 % of the time\n"
                    "  - {name: left hand, track: 1, channel: 1, hand: left, role: "
                    "accompaniment}\n"));
  EXPECT_TRUE(holds(bench.arsis("check draft.yaml").out,
                    "parts: right hand (melody), left hand (accompaniment, -4 dB)\n"));
  EXPECT_EQ(bench.arsis("render draft.yaml -o left.mid --mute 'right hand'").code, 0);
  EXPECT_EQ(bench.arsis("check left.mid").code, 0);
}

struct Row {
  std::string words;
  int code;
  std::string err;
};

TEST(DraftCommand, SaysWhatIsWrongWithTheCommandLine) {
  const Bench bench;
  const std::string kWrite = "; write arsis draft SCORE, or arsis draft --mains PLAN\n";
  const std::string kCell = "; write a length and a place, such as '1 bar from 0:3'\n";
  const std::vector<Row> rows = {
      {"", 2, "no score is named" + kWrite},
      {"mill-round.mid --mains plan.yaml", 2, "--mains names a score already" + kWrite},
      {"plan.yaml", 2,
       "plan.yaml: is a plan already; name a score, or --mains and a plan whose mains are to be "
       "chosen anew\n"},
      {"--mains mill-round.mid", 2,
       "mill-round.mid: is a score, and --mains takes a plan; leave out --mains to draft a plan "
       "for it\n"},
      {"--mains plan.yaml --why", 2,
       "--mains keeps the plan's structure and text; leave out --json, --why, --cell and "
       "--alternatives\n"},
      {"mill-round.mid -o plan.yaml", 2,
       "plan.yaml: is there already; name another file, or add --force to replace it\n"},
      {"mill-round.mid --force -o mill-round.mid", 2,
       "mill-round.mid: is what the plan is drafted from; name another file to write\n"},
      {"mill-round.mid --force -o ferry-study.mid", 2,
       "ferry-study.mid: is a score or has the name of one; give the plan a name that ends in "
       ".yaml\n"},
      {"mill-round.mid --alternatives many", 2,
       "--alternatives cannot be 'many'; write how many to tell, 0 to 19\n"},
      {"mill-round.mid --alternatives 20", 2,
       "--alternatives cannot be '20'; write how many to tell, 0 to 19\n"},
      {"mill-round.mid --cell '1 bar'", 2, "--cell '1 bar' says no length and place" + kCell},
      {"mill-round.mid --cell '1 baa from 0:6'", 2,
       "--cell '1 baa from 0:6' says no length and place" + kCell},
      {"mill-round.mid --cell '1 bar from here'", 2,
       "--cell '1 bar from here' says no length and place" + kCell},
      {"mill-round.mid --cell '1 bar from 90:1'", 2,
       "--cell '1 bar from 90:1' begins where no notes are left; name a place before the last "
       "note\n"}};
  const std::vector<std::string> before = bench.files();
  for (const Row& row : rows) {
    const Ran ran = bench.arsis("draft " + row.words);
    EXPECT_EQ(ran.code, row.code) << row.words;
    EXPECT_EQ(ran.err, row.err) << row.words;
    EXPECT_EQ(ran.out, "") << row.words;
  }
  EXPECT_EQ(bench.files(), before);
  EXPECT_EQ(bench.read("plan.yaml"), lantern_plan(kLanternSentences));
}

TEST(DraftCommand, SaysWhatIsWrongWithTheScore) {
  const Bench bench;
  bench.write("empty.mid", "");
  bench.write("words.mid", "these are words");
  bench.write("silent.mid", small_midi({}, 0));
  bench.write("cut.mid", bench.read("mill-round.mid").substr(0, 300));
  const std::vector<std::string> before = bench.files();
  for (const std::string name :
       {"none.mid", "empty.mid", "words.mid", "silent.mid", ".", "none.musicxml"}) {
    const Ran ran = bench.arsis("draft " + name + " -o draft.yaml");
    EXPECT_EQ(ran.code, 1) << name;
    EXPECT_TRUE(ran.err.starts_with(name + ": ")) << ran.err;
    EXPECT_EQ(bench.files(), before) << name;
  }
  EXPECT_EQ(bench.arsis("draft drums.mid").err,
            "drums.mid: has no melody to draft a plan for; percussion is not shaped; name a score "
            "with notes of pitch\n");
  const Ran nowhere = bench.arsis("draft mill-round.mid -o none/draft.yaml");
  EXPECT_EQ(nowhere.code, 1);
  EXPECT_TRUE(nowhere.err.starts_with("none/draft.yaml: ")) << nowhere.err;
}

// What a damaged file still holds is drafted, with what was said of the damage.
TEST(DraftCommand, DraftsWhatIsLeftOfADamagedScore) {
  const Bench bench;
  bench.write("cut.mid", bench.read("mill-round.mid").substr(0, 1000));
  const Ran ran = bench.arsis("draft cut.mid -o draft.yaml");
  EXPECT_EQ(ran.code, 0) << ran.err;
  EXPECT_TRUE(holds(ran.err, "cut.mid: ")) << ran.err;
  EXPECT_EQ(bench.arsis("check draft.yaml").code, 0);
}

TEST(DraftCommand, DraftsASingleNote) {
  const Bench bench;
  bench.write("one.mid", small_midi({{0, 60, 4}}, 0));
  const Ran ran = bench.arsis("draft one.mid -o one.yaml");
  EXPECT_EQ(ran.code, 0);
  EXPECT_EQ(ran.out, "one.yaml: 1 sentence, 1 phrase, 1 motif; 0 of 0 choices in doubt\n");
  EXPECT_EQ(bench.arsis("check one.yaml").code, 0);
}

TEST(DraftCommand, TakesTheCellThatThePlayerKnows) {
  const Bench bench;
  const std::string plan = bench.arsis("draft mill-round.mid --cell '2 bars from 0:6'").out;
  EXPECT_TRUE(holds(plan, "\nmotif: {length: 2 bars, from: 0:6}\n")) << plan;
  EXPECT_FALSE(holds(plan, "# The cell"));
  EXPECT_TRUE(holds(bench.arsis("draft mill-round.mid --cell '3 beats from 1:1'").out,
                    "\nmotif: {length: 1/2 bar, from: 1:1}\n"));
}

TEST(DraftCommand, TellsOtherStructuresAndAllScores) {
  const Bench bench;
  const Ran ran = bench.arsis("draft lantern-song.mid --alternatives 2 --why -o draft.yaml");
  EXPECT_EQ(ran.code, 0);
  const std::string plan = bench.read("draft.yaml");
  EXPECT_TRUE(holds(plan, "\n# Another structure, 2 of 3 (worth "));
  EXPECT_TRUE(holds(plan, "\n# Another structure, 3 of 3 (worth "));
  EXPECT_TRUE(
      holds(plan, "written dynamics articulation harmony contour rhythm repetition  total"));
  EXPECT_EQ(bench.arsis("check draft.yaml").code, 0);
}

TEST(DraftCommand, TellsEverythingAsJson) {
  const Bench bench;
  const Ran ran = bench.arsis("draft mill-round.mid --json --alternatives 1");
  EXPECT_EQ(ran.code, 0);
  const nlohmann::json json = nlohmann::json::parse(ran.out);
  EXPECT_EQ(json["arsis"], 1);
  EXPECT_EQ(json["title"], "Mill Round");
  EXPECT_EQ(json["boundaries"]["motif"].size(), 24u);
  EXPECT_EQ(json["boundaries"]["motif"][1], 3.0);  // quarter notes: bar 1, beat 6 of 6/8
  EXPECT_EQ(json["boundaries"]["phrase"].size(), 12u);
  EXPECT_EQ(json["boundaries"]["sentence"], (nlohmann::json{0.0, 18.0, 36.0, 54.0}));
  EXPECT_EQ(json["phrase_reasons"][0], "the piece begins");
  ASSERT_EQ(json["mains"].size(), 16u);
  EXPECT_EQ(json["mains"][0]["block"], "1");
  EXPECT_EQ(json["mains"][1]["block"], "1.1");
  EXPECT_TRUE(json["mains"][0]["doubtful"].is_boolean());
  ASSERT_EQ(json["evidence"].size(), 16u);
  const nlohmann::json& candidate = json["evidence"][1]["candidates"][0];
  double sum = 0.0;
  for (const auto& feature : candidate["features"]) sum += feature["score"].get<double>();
  EXPECT_NEAR(sum, candidate["total"].get<double>(), 1e-9);
  EXPECT_EQ(candidate["features"].size(), 6u);
  EXPECT_EQ(json["roles"][0]["role"], "melody");
  EXPECT_EQ(json["roles"][0]["hand"], nullptr);
  EXPECT_EQ(json["alternatives"].size(), 1u);
  const Ran both = bench.arsis("draft piano.mid --json -o piano.yaml");
  EXPECT_EQ(nlohmann::json::parse(both.out)["roles"][1]["hand"], "left");
  EXPECT_EQ(bench.arsis("check piano.yaml").code, 0);
}

TEST(DraftCommand, ReadsAPageWithItsDynamics) {
  const Bench bench;
  const Ran ran = bench.arsis("draft steps.musicxml -o steps.yaml --why");
  EXPECT_EQ(ran.code, 0);
  EXPECT_TRUE(
      holds(bench.read("steps.yaml"), "{name: right hand, track: 1, channel: 1, role: melody}"));
  const Ran checked = bench.arsis("check steps.yaml");
  EXPECT_EQ(checked.code, 0);
  EXPECT_TRUE(holds(checked.out, "  1:1      mf                  steps.musicxml:9\n"))
      << checked.out;
}

TEST(DraftCommand, ChoosesMainsAnewInThePlansOwnText) {
  const Bench bench;
  const std::string text = lantern_plan(
      "# as printed\ndynamics:\n  - {at: 0:3, mark: mp}\n"
      "motif: {length: 1 bar, from: 0:3}\nsentences:   # mine\n"
      "  - {phrases: [/ u u, u u /], main: 1}  # ?\n");
  bench.write("mine.yaml", text);
  const Ran ran = bench.arsis("draft --mains mine.yaml");
  EXPECT_EQ(ran.code, 0);
  const std::string head = text.substr(0, text.find("  - {phrases"));
  EXPECT_EQ(ran.out, head + "  - {phrases: [u / u, u / u], main: 2}  # ?\n");
  EXPECT_TRUE(holds(ran.err,
                    "\nphrase 1.1: motif 2 leads, G over C sharp on the beat, resolving by "
                    "step (2:1)"))
      << ran.err;
  EXPECT_TRUE(holds(ran.err, "; it was 1\n"));
  EXPECT_EQ(bench.arsis("draft --mains mine.yaml -o mine.yaml").code, 2);
  EXPECT_EQ(bench.read("mine.yaml"), text);
  EXPECT_EQ(bench.arsis("draft --mains mine.yaml --force -o mine.yaml").code, 0);
  EXPECT_EQ(bench.read("mine.yaml"), ran.out);
}

TEST(DraftCommand, SaysWhichMainsItCouldNotChange) {
  const Bench bench;
  bench.write("mine.yaml", lantern_plan("motif: {length: 1 bar, from: 0:3}\nsentences:\n"
                                        "  - phrases:\n"
                                        "      - {motifs: [{length: 1 bar, main: true}, u, u]}\n"
                                        "      - u u u\n"));
  EXPECT_EQ(bench.arsis("draft --mains mine.yaml").code, 1);  // no plan yet
  bench.write("mine.yaml", lantern_plan("motif: {length: 1 bar, from: 0:3}\nsentences:\n"
                                        "  - phrases:\n"
                                        "      - {motifs: [{length: 1 bar, main: true}, u, u]}\n"
                                        "      - u u /\n"
                                        "    main: 2\n"));
  const Ran ran = bench.arsis("draft --mains mine.yaml");
  EXPECT_EQ(ran.code, 0);
  EXPECT_TRUE(holds(ran.err,
                    "mine.yaml:9:9: warning: phrase 1.1 keeps its main motif 1; motif 2 "
                    "leads, G over C sharp on the beat, resolving by step (2:1)"))
      << ran.err;
  EXPECT_TRUE(holds(ran.out, "{length: 1 bar, main: true}"));
}

TEST(DraftCommand, MovesAPlanWithItsScoresName) {
  const Bench bench;
  fs::create_directory(bench.path() / "plans");
  EXPECT_EQ(bench.arsis("draft --mains plan.yaml -o plans/mine.yaml").code, 0);
  EXPECT_TRUE(holds(bench.read("plans/mine.yaml"), "score: ../lantern-song.mid\n"));
  EXPECT_EQ(bench.arsis("check plans/mine.yaml").code, 0);
}

}  // namespace
}  // namespace arsis::test
