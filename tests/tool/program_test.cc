// The program from outside: exit codes, messages, what it writes and what it leaves alone.
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sound/sine_soundfont.h"
#include "tool/refusals.h"
#include "tool/run_arsis.h"

namespace arsis::test {
namespace {

// A folder with the demo score and a good plan.
struct Bench : Folder {
  Bench() {
    copy_lantern(*this);
    write("plan.yaml", lantern_plan(kLanternSentences));
  }
};

bool starts_with(const std::string& text, const std::string& beginning) {
  return text.rfind(beginning, 0) == 0;
}

TEST(Program, ChecksAPlanAndPrintsItsTree) {
  const Bench bench;
  const Ran ran = bench.arsis("check plan.yaml");
  EXPECT_EQ(ran.code, 0);
  EXPECT_EQ(ran.err, "");
  EXPECT_NE(ran.out.find("Lantern Song\n"), std::string::npos) << ran.out;
  EXPECT_NE(ran.out.find("    / motif 1.1.2     1:3      2:3      2:1"), std::string::npos)
      << ran.out;
  EXPECT_NE(ran.out.find("  / phrase 4.2        21:3     24:3     24:1"), std::string::npos);
}

TEST(Program, PrintsTheTreeAsJson) {
  const Bench bench;
  const Ran ran = bench.arsis("check --json plan.yaml");
  EXPECT_EQ(ran.code, 0);
  const nlohmann::json json = nlohmann::json::parse(ran.out);
  EXPECT_EQ(json["arsis"], 1);
  EXPECT_EQ(json["readable"], true);
  EXPECT_EQ(json["sentences"].size(), 6u);
  const nlohmann::json& motif = json["sentences"][0]["phrases"][0]["motifs"][1];
  EXPECT_EQ(motif["name"], "1.1.2");
  EXPECT_EQ(motif["main"], true);
  EXPECT_EQ(motif["goal"]["position"], "2:1");
  EXPECT_DOUBLE_EQ(motif["goal"]["beat"], 4.0);
  EXPECT_EQ(json["parts"][1]["role"], "accompaniment");
  EXPECT_EQ(json["diagnostics"].size(), 0u);
}

TEST(Program, TellsTheErrorsOfAPlanAsJsonToo) {
  const Folder folder;
  folder.write("plan.yaml", "arsis: 1\nscoer: x.mid\n");
  const Ran ran = folder.arsis("check --json plan.yaml");
  EXPECT_EQ(ran.code, 1);
  const nlohmann::json json = nlohmann::json::parse(ran.out);
  EXPECT_EQ(json["readable"], false);
  ASSERT_EQ(json["diagnostics"].size(), 3u);
  EXPECT_EQ(json["diagnostics"][2]["problem"], "a plan has no key 'scoer'");
  EXPECT_EQ(json["diagnostics"][2]["remedy"], "did you mean 'score'?");
  EXPECT_EQ(json["diagnostics"][2]["line"], 2);
}

TEST(Program, RendersMidiInBothForms) {
  const Bench bench;
  EXPECT_EQ(bench.arsis("render plan.yaml -o map.mid").code, 0);
  EXPECT_EQ(bench.arsis("render plan.yaml --timing ticks -o ticks.mid").code, 0);
  EXPECT_TRUE(starts_with(bench.read("map.mid"), "MThd"));
  EXPECT_TRUE(starts_with(bench.read("ticks.mid"), "MThd"));
  EXPECT_GT(bench.read("map.mid").size(), bench.read("ticks.mid").size());  // its tempo events
  EXPECT_EQ(bench.files(),
            (std::vector<std::string>{"lantern-song.mid", "map.mid", "plan.yaml", "ticks.mid"}));
}

TEST(Program, WritesTheSameBytesForTheSameInput) {
  const Bench bench;
  for (const char* options : {"", "--seed 7", "--amount 150% --without sentence"}) {
    SCOPED_TRACE(options);
    EXPECT_EQ(bench.arsis(std::string("render plan.yaml -o a.mid ") + options).code, 0);
    EXPECT_EQ(bench.arsis(std::string("render plan.yaml -o b.mid ") + options).code, 0);
    EXPECT_EQ(bench.read("a.mid"), bench.read("b.mid"));
  }
}

TEST(Program, HearsLayersAmountTouchAndSeedApart) {
  const Bench bench;
  const std::vector<std::string> options = {"",
                                            "--amount 0%",
                                            "--amount 200%",
                                            "--touch off",
                                            "--amount 0% --touch off",
                                            "--only motif",
                                            "--only phrase",
                                            "--without motif",
                                            "--seed 1",
                                            "--seed 2"};
  std::vector<std::string> performances;
  for (const std::string& option : options) {
    ASSERT_EQ(bench.arsis("render plan.yaml -o x.mid " + option).code, 0) << option;
    performances.push_back(bench.read("x.mid"));
  }
  for (std::size_t i = 0; i < performances.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) {
      EXPECT_NE(performances[i], performances[k]) << options[i] << " and " << options[k];
    }
  }
  ASSERT_EQ(bench.arsis("render plan.yaml -o x.mid --only motif,phrase").code, 0);
  const std::string only = bench.read("x.mid");
  ASSERT_EQ(bench.arsis("render --without sentence,piece plan.yaml -o x.mid").code, 0);
  EXPECT_EQ(bench.read("x.mid"), only);
}

TEST(Program, RendersAudio) {
  const Bench bench;
  const Ran ran = bench.arsis("render plan.yaml -o x.ogg");
  EXPECT_EQ(ran.code, 0) << ran.err;
  EXPECT_TRUE(starts_with(bench.read("x.ogg"), "OggS"));
  EXPECT_EQ(bench.files(), (std::vector<std::string>{"lantern-song.mid", "plan.yaml", "x.ogg"}));
}

TEST(Program, RefusesAWrongCommandLineAndWritesNothing) {
  const Bench bench;
  const std::vector<test::Refusal> rows = {
      {"render plan.yaml -o x.docx", 2,
       "the ending of 'x.docx' names no format; use .mid, .wav, .flac, .ogg, .opus or .mp3\n"},
      {"render plan.yaml -o x.mid --amount 300%", 2,
       "--amount cannot be '300%'; write 0% to 200%\n"},
      {"render plan.yaml -o x.mid --amount much", 2,
       "--amount cannot be 'much'; write 0% to 200%\n"},
      {"render plan.yaml -o x.mid --only motiv", 2,
       "--only 'motiv' is no level; write motif, phrase, sentence or piece\n"},
      {"render plan.yaml -o x.mid --touch hard", 2, "--touch cannot be 'hard'; write on or off\n"},
      {"render plan.yaml -o x.mid --seed -1", 2,
       "--seed cannot be '-1'; write a whole number, 0 or above\n"},
      {"render plan.yaml -o x.mid --timing both", 2,
       "--timing cannot be 'both'; write tempo-map or ticks\n"},
      {"render plan.yaml -o x.mid --reverb hall", 2,
       "--reverb cannot be 'hall'; write on or off\n"},
      {"render plan.yaml -o lantern-song.mid", 2,
       "lantern-song.mid: is what a performance is made from; name another file to write\n"},
      {"render plan.yaml -o nowhere/x.mid", 1,
       "nowhere/x.mid: there is no folder 'nowhere'; name a folder that exists\n"},
      {"render none.yaml -o x.mid", 1, "none.yaml: no such file; check the name and the folder\n"},
      {"render . -o x.mid", 1, ".: not a regular file; name a file\n"},
      {"render plan.yaml -o x.wav --soundfont none.sf2", 3,
       "none.sf2: there is no such SoundFont (--soundfont); install one (sudo apt install "
       "timgm6mb-soundfont) or name one with --soundfont FILE\n"},
      {"render plan.yaml -o x.wav --soundfont plan.yaml", 3,
       "plan.yaml: is not a SoundFont (--soundfont); an SF2 or SF3 file is needed\n"},
  };
  const std::string score = bench.read("lantern-song.mid");
  test::expect_refused(bench, rows);
  EXPECT_EQ(bench.read("lantern-song.mid"), score);
}

TEST(Program, ReadsTheSoundFontOfTheEnvironment) {
  const Bench bench;
  const Ran ran = bench.arsis("render plan.yaml -o x.wav", "ARSIS_SOUNDFONT=none.sf2");
  EXPECT_EQ(ran.code, 3);
  EXPECT_TRUE(starts_with(ran.err, "none.sf2: there is no such SoundFont (ARSIS_SOUNDFONT)"))
      << ran.err;
}

TEST(Program, SoundsWithTheGrandOfTheCacheBeforeTheSystemsFont) {
  const Bench bench;
  std::filesystem::create_directories(bench.path() / "cache/arsis");
  write_soundfont(bench.path() / "cache/arsis/grand-8.sf2", Wave::kSine);
  const std::string cache = "XDG_CACHE_HOME=" + (bench.path() / "cache").string();
  const Ran ran = bench.arsis("render plan.yaml --reverb off -o x.flac", cache);
  EXPECT_EQ(ran.code, 0) << ran.err;
  EXPECT_NE(ran.out.find("grand-8.sf2)"), std::string::npos) << ran.out;
}

TEST(Program, AnswersUnknownWordsAndHelp) {
  const Folder folder;
  EXPECT_EQ(folder.arsis("").code, 2);
  EXPECT_EQ(folder.arsis("dance plan.yaml").code, 2);
  EXPECT_EQ(folder.arsis("render").code, 2);
  EXPECT_EQ(folder.arsis("render plan.yaml -o x.mid --louder").code, 2);
  EXPECT_EQ(folder.arsis("--help").code, 0);
  EXPECT_EQ(folder.arsis("render --help").code, 0);
  EXPECT_EQ(folder.arsis("--version").code, 0);
}

struct BadScore {
  const char* what;
  std::string bytes;
  const char* message;
};

TEST(Program, RefusesBadScoresAndWritesNothing) {
  using std::string_literals::operator""s;
  const std::vector<BadScore> rows = {
      {"empty", "", "lantern-song.mid: is empty; a Standard MIDI File is needed\n"},
      {"text", "hello, world, hello",
       "lantern-song.mid: is not a MIDI file; a Standard MIDI File begins with 'MThd'\n"},
      {"format 2", "MThd\0\0\0\6\0\2\0\1\0\x60MTrk\0\0\0\4\0\xFF\x2F\0"s,
       "lantern-song.mid: is of format 2 (independent patterns); export it as format 0 or 1\n"},
      {"SMPTE", "MThd\0\0\0\6\0\1\0\1\xE7\x28MTrk\0\0\0\4\0\xFF\x2F\0"s,
       "lantern-song.mid: counts SMPTE frames instead of beats; export it with ticks per quarter "
       "note\n"},
      {"no division", "MThd\0\0\0\6\0\1\0\1\0\0MTrk\0\0\0\4\0\xFF\x2F\0"s,
       "lantern-song.mid: has no ticks in a quarter note (division 0); export it anew\n"},
      {"no notes", "MThd\0\0\0\6\0\1\0\1\0\x60MTrk\0\0\0\4\0\xFF\x2F\0"s,
       "lantern-song.mid: holds no notes; a score with notes is needed\n"},
  };
  for (const BadScore& row : rows) {
    SCOPED_TRACE(row.what);
    const Bench bench;
    bench.write("lantern-song.mid", row.bytes);
    const Ran ran = bench.arsis("render plan.yaml -o x.mid");
    EXPECT_EQ(ran.code, 1);
    EXPECT_EQ(ran.err, row.message);
    EXPECT_FALSE(bench.has("x.mid"));
  }
}

TEST(Program, SaysWhereThePlanNamesAMissingScore) {
  const Folder folder;
  folder.write("plan.yaml", lantern_plan(kLanternSentences));
  const Ran ran = folder.arsis("check plan.yaml");
  EXPECT_EQ(ran.code, 1);
  EXPECT_EQ(ran.err,
            "plan.yaml:2:8: there is no file 'lantern-song.mid'; name the score relative to the "
            "plan's own folder\n");
}

TEST(Program, TellsAllErrorsOfAPlanAtOnceAndWritesNothing) {
  const Bench bench;
  bench.write("plan.yaml", lantern_plan("dynamics:\n"
                                        "  - {at: 1, mark: mf}\n"
                                        "  - {at: 2:1, mark: mff}\n"
                                        "sentences:\n"
                                        "  - {phrases: [u u, u /], main: 3}\n"
                                        "shape: {motif: {depht: 3 dB}}\n"));
  const Ran ran = bench.arsis("render plan.yaml -o x.mid");
  EXPECT_EQ(ran.code, 1);
  EXPECT_EQ(ran.err,
            "plan.yaml:7:10: at cannot be '1'; write bar:beat, such as 9:3, 9:3.5 or 9:3+1/3\n"
            "plan.yaml:8:21: mark cannot be 'mff'; did you mean 'mf'?\n"
            "plan.yaml:10:16: a phrase without a main motif; mark exactly one: '/' in feet, main: "
            "true in the long form\n"
            "plan.yaml:10:33: main cannot be '3'; write a whole number from 1 to 2\n"
            "plan.yaml:11:17: shape: motif has no key 'depht'; did you mean 'depth'?\n");
  EXPECT_FALSE(bench.has("x.mid"));
}

TEST(Program, LeavesNothingBehindWhenItIsStopped) {
  const Bench bench;
  // Slow enough to be met at work: the whole song, again and again, until the signal comes.
  const Ran ran = bench.arsis(
      "render plan.yaml -o x.flac & pid=$!; sleep 0.4; kill -TERM $pid; wait $pid; echo $?");
  EXPECT_EQ(bench.files().size(), bench.has("x.flac") ? 3u : 2u);
  EXPECT_TRUE(ran.out == "143\n" || bench.has("x.flac")) << ran.out;
}

TEST(Program, OverwritesNoScoreOfAnyPlanOfItsRun) {
  const Bench bench;
  std::filesystem::copy(bench.path() / "lantern-song.mid", bench.path() / "out-plan.mid");
  std::string other = lantern_plan(kLanternSentences);
  other.replace(other.find("lantern-song.mid"), 16, "out-plan.mid");
  bench.write("other.yaml", other);
  const std::string score = bench.read("out-plan.mid");
  const Ran ran = bench.arsis("render plan.yaml other.yaml -o out.mid");
  EXPECT_EQ(ran.code, 2);
  EXPECT_EQ(ran.err,
            "out-plan.mid: is what a performance is made from; name another file to write\n");
  EXPECT_EQ(bench.read("out-plan.mid"), score);
  EXPECT_FALSE(bench.has("out-other.mid"));
}

TEST(Program, SaysThatAFileMayNotGrowSoLarge) {
  const Bench bench;
  // The limit's signal would end it otherwise, with its file aside left over.
  const Ran ran =
      bench.arsis("render plan.yaml -o x.wav", "sh -c 'ulimit -f 64; exec \"$0\" \"$@\"'");
  EXPECT_EQ(ran.code, 1);
  EXPECT_NE(ran.err.find("x.wav: cannot be written (File too large)"), std::string::npos)
      << ran.err;
  EXPECT_EQ(bench.files(), (std::vector<std::string>{"lantern-song.mid", "plan.yaml"}));
}

TEST(Program, GoesOnWithoutAPlaceForItsMessages) {
  const Bench bench;
  bench.write("doubt.yaml",
              lantern_plan(std::string("dynamics: [{at: 9:1, mark: f}]\n") + kLanternSentences));
  EXPECT_EQ(bench.arsis("render doubt.yaml -o x.mid 2>&-").code, 0);
  EXPECT_TRUE(bench.has("x.mid"));
  EXPECT_EQ(bench.arsis("check plan.yaml >/dev/full").code, 1);
}

TEST(Program, FollowsALinkAndKeepsPermissions) {
  namespace fs = std::filesystem;
  const Bench bench;
  bench.write("real.mid", "old");
  fs::permissions(bench.path() / "real.mid", fs::perms::owner_read | fs::perms::owner_write);
  fs::create_symlink("real.mid", bench.path() / "link.mid");
  EXPECT_EQ(bench.arsis("render plan.yaml -o link.mid").code, 0);
  EXPECT_TRUE(fs::is_symlink(bench.path() / "link.mid"));
  EXPECT_TRUE(starts_with(bench.read("real.mid"), "MThd"));
  EXPECT_EQ(fs::status(bench.path() / "real.mid").permissions(),
            fs::perms::owner_read | fs::perms::owner_write);
  const std::string longest = std::string(251, 'a') + ".mid";
  EXPECT_EQ(bench.arsis("render plan.yaml -o " + longest).code, 0);
}

TEST(Program, KeepsTheOldFileWhereWritingFails) {
  const Bench bench;
  bench.write("x.mid", "precious");
  bench.write("bad.yaml", "arsis: 2\n");
  EXPECT_EQ(bench.arsis("render bad.yaml -o x.mid").code, 1);
  EXPECT_EQ(bench.read("x.mid"), "precious");
  EXPECT_EQ(bench.arsis("render plan.yaml -o x.mid").code, 0);
  EXPECT_TRUE(starts_with(bench.read("x.mid"), "MThd"));
}

}  // namespace
}  // namespace arsis::test
