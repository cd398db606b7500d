// `arsis page PLAN -o FILE.html`, as a user runs it.
#include <gtest/gtest.h>

#include <algorithm>
#include <functional>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sound/sine_soundfont.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using Json = nlohmann::json;
using test::Folder;
using test::Ran;

class ListeningPages : public ::testing::Test {
 protected:
  ListeningPages() {
    test::copy_lantern(folder_);
    folder_.write("plan.yaml", test::lantern_plan(test::kLanternSentences));
    std::string other = test::kLanternSentences;
    other.replace(other.find("main: 2"), 7, "main: 1");
    folder_.write("other.yaml", test::lantern_plan(other));
    test::write_soundfont(folder_.path() / "sine.sf2", test::Wave::kSine);
  }

  Ran page(const std::string& words) const { return folder_.arsis("page plan.yaml " + words); }

  // What the page's script is told.
  Json data_of(const std::string& name) const {
    const std::string html = folder_.read(name);
    const std::string before = "id=\"data\">";
    const std::size_t begin = html.find(before) + before.size();
    return Json::parse(html.substr(begin, html.find("</script>", begin) - begin));
  }

  Folder folder_;
};

// Every second number, from the first or the second one.
std::vector<double> every_second(const Json& list, std::size_t from) {
  std::vector<double> numbers;
  for (std::size_t i = from; i < list.size(); i += 2) numbers.push_back(list[i].get<double>());
  return numbers;
}

bool rises(const std::vector<double>& numbers) {
  return std::ranges::adjacent_find(numbers, std::greater_equal<>()) == numbers.end();
}

TEST_F(ListeningPages, TellTheirScriptOfVoicesBlocksAndSystems) {
  const Ran ran = page(
      "--soundfont sine.sf2 --versions flat,shaped --reading other.yaml "
      "--sentence 2 -o p.html");
  ASSERT_EQ(ran.code, 0) << ran.err;
  EXPECT_EQ(ran.out, "wrote p.html\n");
  const Json data = data_of("p.html");
  EXPECT_EQ(data["sampleRate"], 24'000);
  std::vector<std::string> labels;
  for (const Json& voice : data["voices"]) {
    labels.push_back(voice["label"]);
    EXPECT_TRUE(rises(every_second(voice["map"], 0)));
    EXPECT_TRUE(rises(every_second(voice["map"], 1)));
    EXPECT_GT(voice["length"], 10.0);
    EXPECT_LT(voice["length"], 20.0);  // six bars at 80 quarter notes a minute are 13.5 s
  }
  EXPECT_EQ(labels, (std::vector<std::string>{"flat", "shaped", "reading: other"}));
  // Sentence 2 is bars 6:3 to 12:3 of 3/4 with a pickup of a quarter note.
  EXPECT_EQ(data["begin"], 18.0);
  EXPECT_EQ(data["blocks"][0], (Json{{"name", "2"},
                                     {"level", "sentence"},
                                     {"label", "sentence 2, bars 6 to 12, phrase 2.3 leads"},
                                     {"begin", 18.0},
                                     {"end", 36.0},
                                     {"breath", 1.0}}));
  EXPECT_EQ(data["blocks"][1]["label"], "phrase 2.1, bars 6 to 8, motif 2.1.1 leads");
  EXPECT_EQ(data["blocks"][2]["label"], "motif 2.1.1, bars 6 to 7, leads its phrase");
  EXPECT_EQ(data["blocks"].size(), 1u + 3u + 6u);
  for (const char* set : {"wide", "narrow"}) {
    double from = 18.0;
    for (const Json& system : data["systems"][set]) {
      EXPECT_EQ(system["begin"], from);
      from = system["end"];
      EXPECT_TRUE(rises(every_second(system["ways"], 0)));
      EXPECT_TRUE(rises(every_second(system["ways"], 1)));
      EXPECT_EQ(system["ways"][0], system["begin"]);
      EXPECT_LE(every_second(system["ways"], 1).back(), system["width"]);
    }
    EXPECT_EQ(from, 36.0) << set;
  }
  EXPECT_GT(data["systems"]["narrow"].size(), data["systems"]["wide"].size());
}

TEST_F(ListeningPages, BeginTheSoundOfAPassageAtItsBeat) {
  ASSERT_EQ(page("--soundfont sine.sf2 --versions flat --sentence 2 -o p.html").code, 0);
  const Json map = data_of("p.html")["voices"][0]["map"];
  // In seconds and beats of the score: the flat voice goes at 80 quarter notes a minute.
  const auto seconds = every_second(map, 0);
  const auto beats = every_second(map, 1);
  EXPECT_NEAR(seconds.front() + (18.0 - beats.front()) * 0.75, 0.0, 0.001);
  EXPECT_NEAR((seconds.back() - seconds.front()) / (beats.back() - beats.front()), 0.75, 0.001);
}

TEST_F(ListeningPages, SoundATakeBesideThePlan) {
  ASSERT_EQ(
      folder_.arsis("render plan.yaml --amount 0% --touch off --tempo 80% -o tuesday.mid").code, 0);
  const Ran ran =
      page("--soundfont sine.sf2 --versions shaped --take tuesday.mid --sentence 2 -o p.html");
  ASSERT_EQ(ran.code, 0) << ran.err;
  const Json take = data_of("p.html")["voices"][1];
  EXPECT_EQ(take["label"], "take: tuesday");
  const auto seconds = every_second(take["map"], 0);
  const auto beats = every_second(take["map"], 1);
  EXPECT_TRUE(rises(seconds));
  EXPECT_TRUE(rises(beats));
  // Played at 64 quarter notes a minute, after a pause of 0.3 s; the sentence begins at beat 18.
  const auto at = [&](double beat) {
    return seconds[static_cast<std::size_t>(std::ranges::lower_bound(beats, beat - 1e-6) -
                                            beats.begin())];
  };
  EXPECT_NEAR(at(18.0), 0.3, 0.001);
  EXPECT_NEAR(at(30.0), 0.3 + 12.0 * 60.0 / 64.0, 0.001);
  EXPECT_GT(take["length"], 18.0 * 60.0 / 64.0);
}

TEST_F(ListeningPages, TellThatATakeHasNothingOfThePassage) {
  ASSERT_EQ(folder_.arsis("render plan.yaml --sentence 1 -o start.mid").code, 0);
  const Ran ran =
      page("--soundfont sine.sf2 --versions flat --take start.mid --phrase 2.3 -o p.html");
  EXPECT_EQ(ran.code, 0) << ran.err;
  EXPECT_NE(ran.err.find("start.mid: warning: has nothing of this passage to be heard; name bars "
                         "that were played"),
            std::string::npos)
      << ran.err;
  EXPECT_EQ(data_of("p.html")["voices"].size(), 1u);
}

TEST_F(ListeningPages, SoundAtThePlansLevelsUnlessToldOtherwise) {
  folder_.write("table.yaml",
                test::lantern_plan(test::kLanternSentences) + "levels: {1: -42 dB, 127: 0 dB}\n");
  const std::string words = " --soundfont sine.sf2 --versions shaped --phrase 1.1 -o ";
  ASSERT_EQ(folder_.arsis("page table.yaml" + words + "table.html").code, 0);
  ASSERT_EQ(folder_.arsis("page table.yaml --levels law" + words + "law.html").code, 0);
  ASSERT_EQ(page(words + "plain.html").code, 0);
  EXPECT_EQ(folder_.read("law.html"), folder_.read("plain.html"));
  EXPECT_NE(folder_.read("table.html"), folder_.read("plain.html"));
  const Ran loud = page("--levels loud" + words + "x.html");
  EXPECT_EQ(loud.code, 2);
  EXPECT_EQ(loud.err, "--levels cannot be 'loud'; write measured, law or plan\n");
}

TEST_F(ListeningPages, AreTheSameEachTime) {
  const std::string words = "--soundfont sine.sf2 --versions flat,shaped --phrase 1.1 -o ";
  ASSERT_EQ(page(words + "a.html").code, 0);
  ASSERT_EQ(page(words + "b.html").code, 0);
  EXPECT_EQ(folder_.read("a.html"), folder_.read("b.html"));
}

TEST_F(ListeningPages, HaveAVoiceForEachLevelOfThePlan) {
  ASSERT_EQ(page("--soundfont sine.sf2 --phrase 1.1 -o p.html").code, 0);
  std::vector<std::string> labels;
  const Json data = data_of("p.html");
  for (const Json& voice : data["voices"]) labels.push_back(voice["label"]);
  EXPECT_EQ(labels, (std::vector<std::string>{"flat", "shaped", "motif alone", "phrase alone",
                                              "sentence alone"}));
}

TEST_F(ListeningPages, ComeOfAScoreAloneToo) {
  const Ran ran = folder_.arsis(
      "page lantern-song.mid --soundfont sine.sf2 --from 1:1 --to 4:1 "
      "--versions shaped -o p.html");
  ASSERT_EQ(ran.code, 0) << ran.err;
  EXPECT_EQ(data_of("p.html")["voices"].size(), 1u);
}

struct Row {
  std::string words;
  int code;
  std::string message;
};

TEST_F(ListeningPages, AreRefusedWithAReason) {
  test::copy_demo(folder_, "mill-round.mid");
  folder_.write("mill.yaml",
                "arsis: 1\nscore: mill-round.mid\nmotif: {length: 1 bar, from: 1:1}\nsentences: "
                "[{phrases: [u /]}]\n");
  std::string readings;
  for (int i = 0; i < 8; ++i) readings += "--reading other.yaml ";
  const std::vector<Row> rows = {
      {"--reading mill.yaml -o p.html", 1,
       "mill.yaml: is about another score, 'mill-round.mid'; name a plan of 'lantern-song.mid'\n"},
      {"--reading none.yaml -o p.html", 1, "none.yaml: "},
      {"--versions flat,loud -o p.html", 2,
       "--versions 'loud' is no version; write flat, shaped, motif, phrase, sentence or piece, "
       "joined by commas\n"},
      {readings + "-o p.html", 2,
       "these are too many voices for one page; --versions, --reading and --take may name 12 "
       "together\n"},
      {"--reverb wet -o p.html", 2, "--reverb cannot be 'wet'; write on or off\n"},
      {"--reading other.yaml -o p.svg", 2,
       "--reading, --versions, --levels, --soundfont and --reverb are for .html; a picture has no "
       "sound: "
       "leave them out\n"},
      {"--soundfont none.sf2 -o p.html", 3, "none.sf2: "},
  };
  const std::vector<std::string> before = folder_.files();
  for (const auto& [words, code, message] : rows) {
    SCOPED_TRACE(words);
    const Ran ran = page(words);
    EXPECT_EQ(ran.code, code);
    EXPECT_NE(ran.err.find(message), std::string::npos) << ran.err;
    EXPECT_EQ(folder_.files(), before);
  }
}

TEST_F(ListeningPages, NeverTakeThePlaceOfWhatTheyAreMadeFrom) {
  folder_.write("reading.html", folder_.read("other.yaml"));
  test::write_soundfont(folder_.path() / "font.html", test::Wave::kSine);
  for (const char* words : {"--reading reading.html -o reading.html",
                            "--soundfont font.html -o font.html --phrase 1.1"}) {
    SCOPED_TRACE(words);
    const std::string name =
        std::string(words).find("reading") != std::string::npos ? "reading.html" : "font.html";
    const std::string before = folder_.read(name);
    const Ran ran = page(words);
    EXPECT_EQ(ran.code, 2);
    EXPECT_EQ(ran.err, name + ": is what the page is made from; name another file to write\n");
    EXPECT_EQ(folder_.read(name), before);
  }
}

TEST_F(ListeningPages, AreNotMadeOfHoursOfSound) {
  // The song at a quarter of a quarter note a minute lasts seven hours.
  std::string midi = folder_.read("lantern-song.mid");
  const std::string tempo = "\xFF\x51\x03";
  const std::size_t at = midi.find(tempo);
  ASSERT_NE(at, std::string::npos);
  midi.replace(at + tempo.size(), 3, "\xFF\xFF\xFF");  // 16.8 s a quarter note
  folder_.write("lantern-song.mid", midi);
  const Ran ran = page("--soundfont sine.sf2 -o p.html");
  EXPECT_EQ(ran.code, 1);
  EXPECT_NE(ran.err.find("plan.yaml: 5 voices of this piece sound for"), std::string::npos)
      << ran.err;
  EXPECT_NE(ran.err.find("too long for one page; 120 minutes are possible: name a passage, or "
                         "fewer voices with --versions shaped\n"),
            std::string::npos);
  EXPECT_FALSE(folder_.has("p.html"));
}

}  // namespace
}  // namespace arsis
