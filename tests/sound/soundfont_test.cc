// Which SoundFont is taken.
#include "sound/soundfont.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "sound/sine_soundfont.h"
#include "tool/run_arsis.h"

namespace arsis {
namespace {

using test::Folder;

class SoundFontChoice : public ::testing::Test {
 protected:
  std::filesystem::path font(const std::string& name) {
    test::write_soundfont(folder_.path() / name, test::Wave::kSine);
    return folder_.path() / name;
  }
  Folder folder_;
};

TEST_F(SoundFontChoice, GoesFromTheNamedOneToTheSystems) {
  const Folder own;
  for (const char* name : {"f.sf2", "b.sf2", "z.sf3", "a.sf3", "d.sf2", "ab.sf2"}) {
    test::write_soundfont(own.path() / name, test::Wave::kSine);
  }
  own.write("aaa.sf2", "no SoundFont");
  own.write("README.md", "words");
  SoundFontSearch search;
  search.named = font("named.sf2").string();
  search.environment = font("environment.sf2").string();
  search.folders = {folder_.path() / "missing", own.path()};
  search.system = {folder_.path() / "missing.sf2", font("system.sf2")};
  EXPECT_EQ(find_soundfont(search)->filename(), "named.sf2");
  search.named.clear();
  EXPECT_EQ(find_soundfont(search)->filename(), "environment.sf2");
  search.environment.clear();
  EXPECT_EQ(find_soundfont(search)->filename(), "a.sf3");
  search.folders.clear();
  EXPECT_EQ(find_soundfont(search)->filename(), "system.sf2");
}

TEST_F(SoundFontChoice, PrefersTheCachedGrandOfMostLayersToTheSystems) {
  for (const char* name : {"grand-4.sf2", "grand-8.sf2", "grand-8-key-off.sf2", "grand-16.sf2",
                           "other-99.sf2", "grand-.sf2", "grand-x.sf2"}) {
    font(name);
  }
  const Folder system;
  test::write_soundfont(system.path() / "system.sf2", test::Wave::kSine);
  SoundFontSearch search;
  search.cache = folder_.path();
  search.system = {system.path() / "system.sf2"};
  const auto take_away = [&](const char* expected) {
    const Result<std::filesystem::path> found = find_soundfont(search);
    ASSERT_TRUE(found);
    EXPECT_EQ(found->filename(), expected);
    std::filesystem::remove(*found);
  };
  folder_.write("grand-20.sf2", "a half file");
  for (const char* expected :
       {"grand-16.sf2", "grand-8-key-off.sf2", "grand-8.sf2", "grand-4.sf2", "system.sf2"}) {
    take_away(expected);
  }
  font("grand-8.sf2");
  const Folder own;
  test::write_soundfont(own.path() / "own.sf2", test::Wave::kSine);
  search.folders = {own.path()};
  EXPECT_EQ(find_soundfont(search)->filename(), "own.sf2");
}

TEST_F(SoundFontChoice, SaysHowToGetOneWhereThereIsNone) {
  const Result<std::filesystem::path> none = find_soundfont({});
  ASSERT_FALSE(none);
  EXPECT_EQ(to_string(none.diagnostics()[0]),
            "no SoundFont was found; install one (sudo apt install timgm6mb-soundfont) or name one "
            "with --soundfont FILE");
}

TEST_F(SoundFontChoice, TakesNothingInThePlaceOfANamedOne) {
  const std::filesystem::path good = font("good.sf2");
  std::string whole = folder_.read("good.sf2");
  folder_.write("short.sf2", whole.substr(0, 500));
  folder_.write("text.sf2", "words");
  folder_.write("wave.sf2", "RIFF\x04" + std::string(3, '\0') + "WAVE");
  std::filesystem::create_directory(folder_.path() / "folder.sf2");
  const std::string kNeeded = "; an SF2 or SF3 file is needed";
  struct Row {
    const char* name;
    std::string message;
  };
  const std::vector<Row> rows = {
      {"none.sf2",
       "there is no such SoundFont (BY); install one (sudo apt install timgm6mb-soundfont) or name "
       "one with --soundfont FILE"},
      {"text.sf2", "is not a SoundFont (BY)" + kNeeded},
      {"wave.sf2", "is not a SoundFont (BY)" + kNeeded},
      {"folder.sf2", "is not a SoundFont (BY)" + kNeeded},
      {"short.sf2",
       "is cut short (500 of " + std::to_string(whole.size()) + " bytes) (BY)" + kNeeded},
  };
  for (const auto& [name, message] : rows) {
    SCOPED_TRACE(name);
    const std::string path = (folder_.path() / name).string();
    for (const char* by : {"--soundfont", "ARSIS_SOUNDFONT"}) {
      SoundFontSearch search;
      (by[0] == '-' ? search.named : search.environment) = path;
      search.folders = {folder_.path()};
      search.system = {good};
      const Result<std::filesystem::path> found = find_soundfont(search);
      ASSERT_FALSE(found);
      std::string expected = message;
      expected.replace(expected.find("BY"), 2, by);
      EXPECT_EQ(to_string(found.diagnostics()[0]), path + ": " + expected);
    }
  }
}

TEST_F(SoundFontChoice, TakesTheFirstOfAFolderByNameInWhateverOrderTheyWereMade) {
  std::vector<std::string> names = {"a.sf2", "b.sf3", "c.sf2", "d.sf2"};
  for (std::size_t i = 0; i < names.size(); ++i) {
    const Folder own;
    for (const std::string& name : names) {
      test::write_soundfont(own.path() / name, test::Wave::kSine);
    }
    SoundFontSearch search;
    search.folders = {own.path()};
    EXPECT_EQ(find_soundfont(search)->filename(), "a.sf2");
    std::ranges::rotate(names, names.begin() + 1);
  }
}

TEST_F(SoundFontChoice, PassesOverWhatOnlyLooksLikeOneInItsOwnFolders) {
  font("b.sf2");
  folder_.write("a.sf2", folder_.read("b.sf2").substr(0, 100));
  std::filesystem::create_directory(folder_.path() / "aa.sf2");
  SoundFontSearch search;
  search.folders = {folder_.path() / "b.sf2", folder_.path()};  // a file is no folder
  EXPECT_EQ(find_soundfont(search)->filename(), "b.sf2");
}

TEST_F(SoundFontChoice, LooksInTheUsualPlacesOfTheSystem) {
  const std::vector<std::filesystem::path> places = system_soundfonts();
  // Source: Debian 12, packages timgm6mb-soundfont and fluid-soundfont-gm (and its alternatives).
  for (const char* path :
       {"/usr/share/sounds/sf2/TimGM6mb.sf2", "/usr/share/sounds/sf2/FluidR3_GM.sf2",
        "/usr/share/sounds/sf2/default-GM.sf2", "/usr/share/sounds/sf3/default-GM.sf3"}) {
    EXPECT_NE(std::ranges::find(places, path), places.end()) << path;
  }
}

}  // namespace
}  // namespace arsis
