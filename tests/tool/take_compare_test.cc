// `take compare` and `take list` from outside, and the words for how a take went through the score.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "shape/perform.h"
#include "tool/run_arsis.h"
#include "tool/take_words.h"

namespace arsis::test {
namespace {

// The demo plans with their scores, and takes of two of them.
struct Bench : Folder {
  Bench() {
    for (const char* name : {"lantern-song", "lantern-song-other", "mill-round"}) {
      const std::string plan = std::string(ARSIS_SOURCE_DIR) + "/plans/" + name + ".yaml";
      std::filesystem::create_directories(path() / "plans");
      std::filesystem::copy_file(plan, path() / "plans" / (std::string(name) + ".yaml"));
    }
    std::filesystem::create_directories(path() / "examples");
    for (const char* name : {"lantern-song.mid", "mill-round.mid"}) {
      std::filesystem::copy_file(std::string(ARSIS_SOURCE_DIR) + "/examples/" + name,
                                 path() / "examples" / name);
    }
    arsis("render plans/lantern-song.yaml -o take.mid");
    arsis("render plans/lantern-song.yaml --amount 0% -o flat.mid");
  }
};

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

TEST(TakeCompare, SaysWhatATeacherWouldSay) {
  const Bench bench;
  const Ran ran = bench.arsis("take compare plans/lantern-song.yaml take.mid");
  EXPECT_EQ(ran.code, 0);
  EXPECT_EQ(ran.err, "");
  EXPECT_TRUE(holds(ran.out,
                    "take.mid: 315 of 315 written notes were played, 0 wrong, 0 missing; 0 more "
                    "were played\n\n"
                    "15 of 15 phrases lead where you planned\n"
                    "6 of 6 sentences lead where you planned\n"
                    "which sentence leads the piece is not audible (planned: the third)\n"
                    "33 of 36 motifs grow to their last interval; in 3 no growth is heard\n"))
      << ran.out;
  EXPECT_TRUE(holds(ran.out,
                    "  phrase 1.1          1.1.2    1.1.2      +1.1 dB   +1.8 %    pedal  as "
                    "planned\n"));
}

// The arc of the piece deep enough to be heard.
TEST(TakeCompare, SaysWhichSentenceLeadsThePiece) {
  const Bench bench;
  const std::string plan = bench.read("plans/lantern-song-other.yaml");
  const std::string deep = plan.substr(0, plan.find("shape:")) + "shape: {piece: {depth: 4 dB}}\n";
  bench.write("plans/deep.yaml", deep);
  std::string fourth = deep;
  fourth.replace(fourth.find("\nmain: 1"), 8, "\nmain: 4");
  bench.write("plans/fourth.yaml", fourth);
  ASSERT_EQ(bench.arsis("render plans/deep.yaml -o deep.mid").code, 0);
  const Ran own = bench.arsis("take compare plans/deep.yaml deep.mid");
  EXPECT_TRUE(holds(own.out, "\nthe first sentence leads the piece, as you planned\n")) << own.out;
  EXPECT_TRUE(holds(own.out, "\npiece                 1        1 "));
  const Ran other = bench.arsis("take compare plans/fourth.yaml deep.mid");
  EXPECT_TRUE(holds(other.out, "\nin the piece the first sentence overtakes the fourth by "))
      << other.out;
  const Ran ran = bench.arsis("take compare --json plans/fourth.yaml deep.mid");
  const nlohmann::json piece = nlohmann::json::parse(ran.out)["takes"][0]["piece"];
  EXPECT_EQ(piece["verdict"], "otherwise");
  EXPECT_EQ(piece["planned"], "4");
  EXPECT_EQ(piece["heard"], "1");
}

TEST(TakeCompare, SaysWhichMembersOvertakeThePlannedOnes) {
  const Bench bench;
  const Ran ran = bench.arsis("take compare plans/lantern-song-other.yaml take.mid");
  EXPECT_EQ(ran.code, 0);
  EXPECT_TRUE(holds(ran.out,
                    "\nin phrase 1.2 the second motif overtakes the first by 1.9 dB and 6 % more "
                    "time\n"))
      << ran.out;
  EXPECT_TRUE(holds(ran.out, "\nin sentence 5 the first phrase overtakes the second by "));
}

TEST(TakeCompare, SaysThatAFlatTakeIsFlat) {
  const Bench bench;
  const Ran ran = bench.arsis("take compare plans/lantern-song.yaml flat.mid");
  EXPECT_TRUE(holds(ran.out, "\nno arc is audible: to a listener this take is flat\n")) << ran.out;
  EXPECT_FALSE(holds(ran.out, "as planned;"));
}

TEST(TakeCompare, PutsSeveralTakesInATable) {
  const Bench bench;
  const Ran ran = bench.arsis("take compare plans/lantern-song.yaml flat.mid take.mid");
  EXPECT_EQ(ran.code, 0);
  EXPECT_TRUE(holds(ran.out, "take      date              sentences    phrases     motifs"))
      << ran.out;
  EXPECT_TRUE(holds(ran.out, "     0 of 6    0 of 15    0 of 36     8 of 8    100 %      0 %"));
  EXPECT_TRUE(holds(ran.out, "     6 of 6   15 of 15   33 of 36     8 of 8    100 %      0 %"));
}

TEST(TakeCompare, RefusesATakeOfAnotherPiece) {
  const Bench bench;
  const Ran ran = bench.arsis("take compare plans/mill-round.yaml take.mid --alignment a.json");
  EXPECT_EQ(ran.code, 1);
  EXPECT_EQ(ran.out, "");
  EXPECT_TRUE(holds(ran.err, "take.mid: is no take of 'Mill Round': only "));
  EXPECT_TRUE(holds(ran.err,
                    "% of it and the score agree; at least 50 % are needed; name a take of this "
                    "plan, or the plan of this take\n"))
      << ran.err;
  EXPECT_FALSE(bench.has("a.json"));
}

TEST(TakeCompare, RefusesWhatIsNoTake) {
  const Bench bench;
  bench.write("text.mid", "do re mi");
  bench.write("empty.mid", "");
  struct Row {
    const char* words;
    int code;
    const char* message;
  };
  const std::vector<Row> rows = {
      {"text.mid", 1, "text.mid: is not a MIDI file; a Standard MIDI File begins with 'MThd'\n"},
      {"empty.mid", 1, "empty.mid: is empty; a Standard MIDI File is needed\n"},
      {"take.mid take.mid --alignment a.json", 2, "--alignment is of one take; name one take\n"},
      {"take.mid --levels loud", 2, "--levels cannot be 'loud'; write measured, law or plan\n"},
      {"take.mid --alignment take.mid", 2,
       "take.mid: is what the alignment is made from; name another file to write\n"},
      {"take.mid --alignment examples/lantern-song.mid", 2,
       "examples/lantern-song.mid: is what the alignment is made from; name another file to "
       "write\n"},
  };
  const std::string before = bench.read("take.mid");
  for (const Row& row : rows) {
    const Ran ran = bench.arsis(std::string("take compare plans/lantern-song.yaml ") + row.words);
    EXPECT_EQ(ran.code, row.code) << row.words;
    EXPECT_EQ(ran.err, row.message);
    EXPECT_EQ(ran.out, "");
  }
  EXPECT_EQ(bench.read("take.mid"), before);
  EXPECT_FALSE(bench.has("a.json"));
}

TEST(TakeCompare, WritesWhichNoteIsWhich) {
  const Bench bench;
  ASSERT_EQ(bench.arsis("take compare plans/lantern-song.yaml take.mid --alignment a.json").code,
            0);
  const nlohmann::json json = nlohmann::json::parse(bench.read("a.json"));
  ASSERT_EQ(json["pairs"].size(), 315u);
  for (std::size_t i = 0; i < 315; ++i) EXPECT_EQ(json["pairs"][i][0], i);
}

TEST(TakeCompare, PrintsAllOfItAsJson) {
  const Bench bench;
  const Ran ran = bench.arsis("take compare --json plans/lantern-song-other.yaml take.mid");
  const nlohmann::json json = nlohmann::json::parse(ran.out);
  EXPECT_EQ(json["arsis"], 1);
  ASSERT_EQ(json["takes"].size(), 1u);
  const nlohmann::json& take = json["takes"][0];
  EXPECT_EQ(take["file"], "take.mid");
  EXPECT_EQ(take["title"], "Lantern Song");
  EXPECT_EQ(take["played"]["paired"], 315);
  EXPECT_EQ(take["played"]["stretches"][0]["from"], "0:3");
  const nlohmann::json& phrase = take["sentences"][0]["phrases"][1];
  EXPECT_EQ(phrase["verdict"], "otherwise");
  EXPECT_EQ(phrase["planned"], "1.2.1");
  EXPECT_EQ(phrase["heard"], "1.2.2");
  EXPECT_NEAR(phrase["level_db"], 1.9, 0.1);
  EXPECT_GT(phrase["steps"], 4.0);
  EXPECT_EQ(phrase["breath"]["under_pedal"], true);
  EXPECT_EQ(phrase["motifs"][1]["verdict"], "as planned");
  EXPECT_EQ(take["dynamics"].size(), 10u);
  EXPECT_EQ(take["tempo"]["verdict"], "as planned");
  EXPECT_NEAR(take["balance"][0]["heard_db"], 4.0, 0.2);
  EXPECT_EQ(take["evenness"].size(), 2u);
}

// Levels that a slow instrument would need: the plan's table is used unless the law is asked for.
TEST(TakeCompare, HearsLevelsAsTheInstrumentHasThem) {
  const Bench bench;
  const std::string plan = bench.read("plans/lantern-song.yaml");
  bench.write("plans/table.yaml", plan + "levels: {1: -20 dB, 64: -10 dB, 127: 0 dB}\n");
  const auto level = [&](const std::string& words) {
    const Ran ran = bench.arsis("take compare --json plans/table.yaml take.mid " + words);
    const nlohmann::json json = nlohmann::json::parse(ran.out);
    return json["takes"][0]["sentences"][2]["phrases"][0]["level_db"].get<double>();
  };
  EXPECT_NEAR(level("--levels law"), 1.6, 0.1);
  EXPECT_LT(level(""), 0.8);
}

TEST(TakeList, ListsTheTakesOfAFolder) {
  const Bench bench;
  std::filesystem::copy_file(bench.path() / "take.mid", bench.path() / "plans/monday.mid");
  bench.arsis("render plans/mill-round.yaml -o plans/mill.mid");
  bench.write("plans/broken.mid", "do re mi");
  const Ran folder = bench.arsis("take list plans");
  EXPECT_EQ(folder.code, 0);
  EXPECT_TRUE(holds(folder.out, "monday.mid  ")) << folder.out;
  EXPECT_TRUE(holds(folder.out, "    1:24  Lantern Song\n"));
  EXPECT_TRUE(holds(folder.out, "  Mill Round\n"));
  EXPECT_TRUE(holds(folder.err, "plans/broken.mid: warning: is not a MIDI file;"));
  const Ran plan = bench.arsis("take list plans/lantern-song.yaml --json");
  const nlohmann::json json = nlohmann::json::parse(plan.out);
  ASSERT_EQ(json["takes"].size(), 1u);
  EXPECT_EQ(json["takes"][0]["title"], "Lantern Song");
  EXPECT_NEAR(json["takes"][0]["length_s"], 84.3, 0.5);
  EXPECT_EQ(bench.arsis("take list nowhere").code, 1);
}

// A take of the demo piece in which the player goes back from one bar to another.
ComparedTake gone_back(const Loaded& loaded, Beats from, Beats to) {
  const std::vector<PerformedNote> notes = perform(loaded.score, loaded.bound).performance.notes;
  ComparedTake take;
  Seconds shift{0.0};
  const auto play = [&](Beats begin, Beats end) {
    for (std::size_t i = 0; i < notes.size(); ++i) {
      const Note& note = loaded.score.notes[i];
      if (note.onset < begin || note.onset >= end) continue;
      take.file.take.notes.push_back(
          {notes[i].onset + shift, notes[i].end + shift, note.key, notes[i].velocity});
    }
  };
  const auto second = [&](Beats beat) {
    const auto first = std::ranges::lower_bound(loaded.score.notes, beat, {}, &Note::onset);
    return notes[static_cast<std::size_t>(first - loaded.score.notes.begin())].onset;
  };
  play({-1.0}, from);
  shift = second(from) - second(to);
  play(to, {1e9});
  std::ranges::stable_sort(take.file.take.notes, {}, &PlayedNote::onset);
  take.alignment = align(loaded.score, take.file.take);
  take.comparison = compare(loaded.score, loaded.bound, take.file.take, take.alignment);
  return take;
}

TEST(CourseOf, TellsWhatWasPlayedAgainAndLeftOut) {
  const Result<Loaded> loaded = load(std::string(ARSIS_SOURCE_DIR) + "/plans/lantern-song.yaml");
  ASSERT_TRUE(loaded);
  const auto bar = [&](int number) { return loaded->score.bars.find(number)->span.begin; };
  using Lines = std::vector<std::string>;
  EXPECT_EQ(course_of(*loaded, gone_back(*loaded, bar(9), bar(9))), Lines{});
  EXPECT_EQ(course_of(*loaded, gone_back(*loaded, bar(9), bar(7))),
            Lines{"bars 7 to 8 were played again; the last time counts"});
  EXPECT_EQ(course_of(*loaded, gone_back(*loaded, bar(9), bar(8))),
            Lines{"bar 8 was played again; the last time counts"});
  EXPECT_EQ(course_of(*loaded, gone_back(*loaded, bar(9), bar(13))),
            Lines{"bars 9 to 12 were left out"});
}

TEST(CourseOf, TellsWhichHandWasNotPlayed) {
  const Bench bench;
  bench.arsis("render plans/lantern-song.yaml --mute \"right hand\" -o left.mid");
  const Ran ran = bench.arsis("take compare plans/lantern-song.yaml left.mid");
  EXPECT_EQ(ran.code, 0);
  EXPECT_TRUE(holds(ran.out,
                    "\nthe right hand was not played\nwithout the melody only the time is judged, "
                    "no level\n"))
      << ran.out;
}

}  // namespace
}  // namespace arsis::test
