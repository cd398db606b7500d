// Measured levels as they are kept: what is written is read, what is damaged is told.
#include "tool/level_store.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cstdlib>
#include <string>
#include <vector>

#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;

LevelSurvey some_levels() {
  const auto at = [](int velocity, double level) {
    return LevelPoint{Velocity::clamped(velocity), {level}};
  };
  LevelSurvey survey;
  survey[0] = LevelTable::of(
      {{24, {at(1, -84.1523), at(64, -1.0 / 3.0), at(127, 0.1)}}, {60, {at(1, -9), at(127, 0)}}});
  survey[40] = LevelTable();  // measured, and silent
  return survey;
}

// The cache folder is this one while it lives.
struct Cache : Folder {
  Cache() { ::setenv("XDG_CACHE_HOME", path().c_str(), 1); }
  ~Cache() { ::unsetenv("XDG_CACHE_HOME"); }
};

TEST(LevelStore, ReadsWhatItWroteToTheLastBit) {
  const Result<LevelSurvey> read = parse_levels(levels_text(some_levels(), "x.sf2"), "f");
  ASSERT_TRUE(read);
  EXPECT_EQ(*read, some_levels());
}

TEST(LevelStore, KeepsThemInTheCacheFolder) {
  const Cache cache;
  cache.write("my font.sf2", "RIFF");
  const std::filesystem::path font = cache.path() / "my font.sf2";
  const std::filesystem::path store = level_store_of(font);
  EXPECT_EQ(store.parent_path(), cache.path() / "arsis/levels");
  EXPECT_TRUE(store.filename().string().starts_with("my_font-4-")) << store;
  const Result<LevelSurvey> none = read_levels(store);
  ASSERT_TRUE(none);
  EXPECT_TRUE(none->empty());
  ASSERT_TRUE(write_levels(some_levels(), font, store));
  const Result<LevelSurvey> read = read_levels(store);
  ASSERT_TRUE(read);
  EXPECT_EQ(*read, some_levels());
}

TEST(LevelStore, HasAnotherPlaceForAChangedSoundFont) {
  const Cache cache;
  cache.write("a.sf2", "RIFF");
  const std::filesystem::path font = cache.path() / "a.sf2";
  const std::filesystem::path before = level_store_of(font);
  EXPECT_EQ(level_store_of(font), before);
  const auto changed = std::filesystem::last_write_time(font);
  std::filesystem::last_write_time(font, changed + std::chrono::seconds(1));
  EXPECT_NE(level_store_of(font), before);
  cache.write("a.sf2", "RIFFs");
  std::filesystem::last_write_time(font, changed);
  EXPECT_NE(level_store_of(font), before);
}

TEST(LevelStore, HasNoPlaceWithoutASoundFont) {
  const Cache cache;
  EXPECT_EQ(level_store_of(cache.path() / "none.sf2"), "");
  const Result<LevelSurvey> read = read_levels("");
  ASSERT_TRUE(read);
  EXPECT_TRUE(read->empty());
  const Result<Done> written = write_levels(some_levels(), "x.sf2", "");
  ASSERT_FALSE(written);
  EXPECT_EQ(to_string(written.diagnostics()[0]),
            "x.sf2: there is no folder to keep its levels in; set HOME or XDG_CACHE_HOME");
}

std::string program(const std::string& text) {
  return R"({"arsis_levels":1,"programs":[{"program":1,"keys":[]},)" + text + "]}";
}

TEST(LevelStore, SaysWhatIsWrong) {
  struct Row {
    std::string text;
    std::string message;
  };
  const std::string none = "is no table of measured levels";
  const std::string version = "is a table of measured levels of another version";
  const std::string sense = "holds measured levels that make no sense (program 2)";
  const std::string empty = "holds no measured levels";
  const std::string deep = std::string(100'000, '[') + std::string(100'000, ']');
  const std::vector<Row> rows = {
      {"", none},
      {"{", none},
      {"[]", none},
      {"\xFF", none},
      {deep, none},
      {"{}", version},
      {R"({"arsis_levels":2})", version},
      {R"({"arsis_levels":1.5})", version},
      {R"({"arsis_levels":99999999999999999999})", version},
      {R"({"arsis_levels":1})", empty},
      {R"({"arsis_levels":1,"programs":[]})", empty},
      {R"({"arsis_levels":1,"programs":7})", empty},
      {program("7"), sense},
      {program("{}"), sense},
      {program(R"({"program":0,"keys":[]})"), sense},
      {program(R"({"program":129,"keys":[]})"), sense},
      {program(R"({"program":"2","keys":[]})"), sense},
      {program(R"({"program":2,"keys":{}})"), sense},
      {program(R"({"program":2,"keys":[{"key":128,"points":[]}]})"), sense},
      {program(R"({"program":2,"keys":[{"key":-1,"points":[]}]})"), sense},
      {program(R"({"program":2,"keys":[{"key":1,"points":[1]}]})"), sense},
      {program(R"({"program":2,"keys":[{"key":1,"points":[[1]]}]})"), sense},
      {program(R"({"program":2,"keys":[{"key":1,"points":[[0,1]]}]})"), sense},
      {program(R"({"program":2,"keys":[{"key":1,"points":[[128,1]]}]})"), sense},
      {program(R"({"program":2,"keys":[{"key":1,"points":[[1,"x"]]}]})"), sense},
      {program(R"({"program":2,"keys":[{"key":1,"points":[[1,1e300]]}]})"), sense},
  };
  for (const auto& [text, message] : rows) {
    const Result<LevelSurvey> read = parse_levels(text, "f.json");
    ASSERT_FALSE(read) << text.substr(0, 100);
    ASSERT_EQ(read.diagnostics().size(), 1u);
    EXPECT_EQ(to_string(read.diagnostics()[0]),
              "f.json: " + message + "; delete it; it is made anew when levels are measured")
        << text.substr(0, 100);
  }
}

}  // namespace
}  // namespace arsis
