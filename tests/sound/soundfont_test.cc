// Which SoundFont is taken.
#include "sound/soundfont.h"

#include <gtest/gtest.h>

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
  test::write_soundfont(own.path() / "b.sf2", test::Wave::kSine);
  test::write_soundfont(own.path() / "a.sf3", test::Wave::kSine);
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

TEST_F(SoundFontChoice, SaysHowToGetOneWhereThereIsNone) {
  const Result<std::filesystem::path> none = find_soundfont({});
  ASSERT_FALSE(none);
  EXPECT_EQ(to_string(none.diagnostics()[0]),
            "no SoundFont was found; install one (sudo apt install timgm6mb-soundfont) or name one "
            "with --soundfont FILE");
}

TEST_F(SoundFontChoice, TakesNothingInThePlaceOfANamedOne) {
  SoundFontSearch search;
  search.named = "none.sf2";
  search.system = {font("system.sf2")};
  EXPECT_FALSE(find_soundfont(search));
  search.named = folder_.path().string();
  EXPECT_FALSE(find_soundfont(search));
}

}  // namespace
}  // namespace arsis
