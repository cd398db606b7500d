// `arsis levels` and `render --levels` from outside.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "sound/sine_soundfont.h"
#include "tool/run_arsis.h"

namespace arsis::test {
namespace {

namespace fs = std::filesystem;

constexpr const char* kTable = "levels: {1: -42 dB, 127: 0 dB}\n";  // about 20 log10(v / 127)

// A score, a plan, a SoundFont that does not follow the law, and a cache of its own.
struct Bench : Folder {
  Bench() {
    copy_lantern(*this);
    write("plan.yaml", lantern_plan(kLanternSentences));
    write("typed.yaml", lantern_plan(std::string(kTable) + kLanternSentences));
    write_soundfont(path() / "half.sf2", Wave::kSine, VelocityLaw::kHalf);
    write_soundfont(path() / "sine.sf2", Wave::kSine);
  }
  Ran run(const std::string& words) const {
    return arsis(words, "XDG_CACHE_HOME='" + (path() / "cache").string() + "'");
  }
  std::vector<fs::path> kept() const {
    std::vector<fs::path> stores;
    std::error_code none;
    for (const auto& entry : fs::directory_iterator(path() / "cache/arsis/levels", none)) {
      stores.push_back(entry.path());
    }
    return stores;
  }
};

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

TEST(Levels, ShowsTableAndPlotAndKeepsThem) {
  const Bench bench;
  const Ran ran = bench.run("levels --soundfont half.sf2");
  EXPECT_EQ(ran.code, 0);
  EXPECT_EQ(ran.err, "");
  EXPECT_TRUE(holds(ran.out, "half.sf2\nProgram 1: level in dB below velocity 127, by key\n"))
      << ran.out;
  EXPECT_TRUE(
      holds(ran.out, "velocity      C1     F#2      C4     F#5     F#7     mean      law\n"))
      << ran.out;
  // Source: 20 log10(64 / 127) and 40 log10(64 / 127).
  EXPECT_TRUE(
      holds(ran.out, "      64    -6.0    -6.0    -6.0    -6.0    -6.0     -6.0    -11.9\n"))
      << ran.out;
  EXPECT_TRUE(holds(ran.out, "o measured (mean of all keys)   . the law   * both\n"));
  EXPECT_TRUE(holds(ran.out, "Farthest from the law: 42.1 dB too loud, at velocity 1 on "))
      << ran.out;
  EXPECT_EQ(bench.kept().size(), 1u);
}

TEST(Levels, SaysWhereAFontFollowsTheLaw) {
  const Bench bench;
  const Ran ran = bench.run("levels --soundfont sine.sf2 --program 1");
  EXPECT_EQ(ran.code, 0);
  EXPECT_TRUE(holds(ran.out, "It follows the law within 0.1 dB.\n")) << ran.out;
}

TEST(Levels, PrintsJson) {
  const Bench bench;
  const Ran ran = bench.run("levels --soundfont half.sf2 --json");
  ASSERT_EQ(ran.code, 0);
  const nlohmann::json json = nlohmann::json::parse(ran.out);
  EXPECT_EQ(json["arsis"], 1);
  EXPECT_EQ(json["soundfont"], "half.sf2");
  ASSERT_EQ(json["programs"].size(), 1u);
  EXPECT_EQ(json["programs"][0]["program"], 1);
  EXPECT_EQ(json["programs"][0]["keys"].size(), 14u);
  const nlohmann::json& levels = json["programs"][0]["keys"][0]["levels"];
  EXPECT_EQ(levels.back()["velocity"], 127);
  EXPECT_EQ(levels.back()["level_db"], 0.0);
  EXPECT_NEAR(json["programs"][0]["largest_deviation_db"].get<double>(), 42.08, 0.15);
}

TEST(Levels, RefusesWhatItCannotMeasure) {
  const Bench bench;
  struct Row {
    const char* words;
    int code;
    const char* message;
  };
  const Row rows[] = {
      {"levels --soundfont none.sf2", 3,
       "none.sf2: there is no such SoundFont (--soundfont); install one (sudo apt install "
       "timgm6mb-soundfont) or name one with --soundfont FILE\n"},
      {"levels --soundfont plan.yaml", 3,
       "plan.yaml: is not a SoundFont (--soundfont); an SF2 or SF3 file is needed\n"},
      {"levels --soundfont half.sf2 --program 2", 3, "half.sf2: has no program 2; it has 1\n"},
      {"levels --soundfont half.sf2 --program 0", 2,
       "--program cannot be '0'; write numbers from 1 to 128, joined by commas\n"},
      {"levels --soundfont half.sf2 --program 1,piano", 2,
       "--program cannot be 'piano'; write numbers from 1 to 128, joined by commas\n"},
      {"render plan.yaml -o x.mid --levels loud", 2,
       "--levels cannot be 'loud'; write measured, law or plan\n"},
      {"render plan.yaml -o x.mid --levels plan", 1,
       "plan.yaml: has no levels (--levels plan); add 'levels:', or write --levels law or "
       "measured\n"},
      {"render plan.yaml -o x.mid --levels measured --soundfont none.sf2", 3,
       "none.sf2: there is no such SoundFont (--soundfont); install one (sudo apt install "
       "timgm6mb-soundfont) or name one with --soundfont FILE\n"},
  };
  for (const Row& row : rows) {
    SCOPED_TRACE(row.words);
    const Ran ran = bench.run(row.words);
    EXPECT_EQ(ran.code, row.code);
    EXPECT_EQ(ran.err, row.message);
    EXPECT_FALSE(bench.has("x.mid"));
    EXPECT_TRUE(bench.kept().empty());
  }
}

TEST(LevelsWithoutCache, AreMeasuredAllTheSame) {
  const Bench bench;
  bench.write("cache", "a file where a folder should be");
  const Ran ran = bench.run("render plan.yaml -o x.mid --levels measured --soundfont half.sf2");
  EXPECT_EQ(ran.code, 0);
  EXPECT_TRUE(holds(ran.err, "cache/arsis/levels: warning: cannot be made")) << ran.err;
  EXPECT_TRUE(bench.has("x.mid"));
}

std::string rendered(const Bench& bench, const std::string& words) {
  const Ran ran = bench.run("render -o x.mid " + words);
  EXPECT_EQ(ran.code, 0) << words;
  EXPECT_EQ(ran.err, "") << words;
  return bench.read("x.mid");
}

TEST(RenderLevels, AreThoseOfThePlanUnlessSaidOtherwise) {
  const Bench bench;
  const std::string law = rendered(bench, "plan.yaml");
  const std::string typed = rendered(bench, "typed.yaml");
  EXPECT_NE(typed, law);
  EXPECT_EQ(rendered(bench, "plan.yaml --levels law"), law);
  EXPECT_EQ(rendered(bench, "typed.yaml --levels law"), law);
  EXPECT_EQ(rendered(bench, "typed.yaml --levels plan"), typed);
  EXPECT_TRUE(bench.kept().empty());  // nothing was measured
}

TEST(RenderLevels, AreMeasuredOnceAndMeasuredAnewWhereTheyAreDamaged) {
  const Bench bench;
  const std::string words = "plan.yaml --levels measured --soundfont half.sf2";
  const std::string law = rendered(bench, "plan.yaml");
  const std::string first = rendered(bench, words);
  EXPECT_NE(first, law);
  ASSERT_EQ(bench.kept().size(), 1u);
  const std::string store = fs::relative(bench.kept()[0], bench.path()).string();
  const auto written = fs::last_write_time(bench.kept()[0]);
  EXPECT_EQ(rendered(bench, words), first);
  EXPECT_EQ(fs::last_write_time(bench.kept()[0]), written);

  bench.write(store, "{");
  const Ran ran = bench.run("render -o x.mid " + words);
  EXPECT_EQ(ran.code, 0);
  EXPECT_TRUE(holds(ran.err, "warning: is no table of measured levels; delete it")) << ran.err;
  EXPECT_EQ(bench.read("x.mid"), first);
  EXPECT_EQ(rendered(bench, words), first);  // without a warning: it was mended
}

TEST(RenderLevels, OfAFontThatFollowsTheLawAreTheLawsWithinAVelocity) {
  const Bench bench;
  const std::string law = rendered(bench, "plan.yaml --timing ticks");
  const std::string measured =
      rendered(bench, "plan.yaml --timing ticks --levels measured --soundfont sine.sf2");
  ASSERT_EQ(law.size(), measured.size());
  for (std::size_t i = 0; i < law.size(); ++i) {
    const int a = static_cast<unsigned char>(law[i]);
    const int b = static_cast<unsigned char>(measured[i]);
    EXPECT_LE(std::abs(a - b), 1) << "byte " << i;
  }
}

}  // namespace
}  // namespace arsis::test
