// Holds the build's list of folders against what the files include: the layers of renderer/ stay
// one-way.
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

namespace fs = std::filesystem;

namespace {

const fs::path kRenderer = fs::path(ARSIS_SOURCE_DIR) / "renderer";

// "plan: base score" a line, as the build wrote it.
std::map<std::string, std::set<std::string>> needs_by_folder() {
  std::map<std::string, std::set<std::string>> needs;
  std::ifstream file(ARSIS_FOLDERS_FILE);
  for (std::string line; std::getline(file, line);) {
    std::istringstream words(line);
    std::string folder;
    words >> folder;
    if (folder.empty()) continue;
    folder.pop_back();  // the colon
    std::set<std::string>& list = needs[folder];
    for (std::string need; words >> need;) list.insert(need);
  }
  return needs;
}

struct Include {
  fs::path file;
  std::string name;
  bool quoted = false;
};

std::vector<Include> includes_of(const fs::path& file) {
  constexpr std::string_view kInclude = "#include ";
  std::vector<Include> includes;
  std::ifstream text(file);
  for (std::string line; std::getline(text, line);) {
    if (!line.starts_with(kInclude)) continue;
    const bool quoted = line[kInclude.size()] == '"';
    const std::size_t begin = kInclude.size() + 1;
    const std::size_t end = line.find(quoted ? '"' : '>', begin);
    includes.push_back({file, line.substr(begin, end - begin), quoted});
  }
  return includes;
}

std::vector<fs::path> sources_of(const std::string& folder) {
  std::vector<fs::path> sources;
  for (const fs::directory_entry& entry : fs::directory_iterator(kRenderer / folder)) {
    const std::string ending = entry.path().extension().string();
    if (ending == ".h" || ending == ".cc") sources.push_back(entry.path());
  }
  std::ranges::sort(sources);
  return sources;
}

TEST(Folders, AreAllKnownToTheBuild) {
  const auto needs = needs_by_folder();
  std::size_t folders = 0;
  for (const fs::directory_entry& entry : fs::directory_iterator(kRenderer)) {
    if (!entry.is_directory()) continue;
    ++folders;
    EXPECT_TRUE(needs.contains(entry.path().filename().string())) << entry.path();
  }
  EXPECT_EQ(folders, needs.size());
}

TEST(Folders, IncludeOnlyWhatTheBuildListsAsTheirNeeds) {
  std::size_t checked = 0;
  for (const auto& [folder, needs] : needs_by_folder()) {
    for (const fs::path& source : sources_of(folder)) {
      for (const Include& include : includes_of(source)) {
        if (!include.quoted) continue;
        const std::string from = include.name.substr(0, include.name.find('/'));
        EXPECT_TRUE(from == folder || needs.contains(from))
            << source << " includes " << include.name;
        EXPECT_TRUE(fs::exists(kRenderer / include.name)) << source << " includes " << include.name;
        ++checked;
      }
    }
  }
  EXPECT_GT(checked, 100u);
}

TEST(Folders, NeedNoneThatNeedsThem) {
  const auto needs = needs_by_folder();
  for (const auto& [folder, list] : needs) {
    for (const std::string& need : list) {
      ASSERT_TRUE(needs.contains(need)) << need;
      EXPECT_FALSE(needs.at(need).contains(folder)) << folder << " and " << need;
    }
  }
}

TEST(Folders, TakeEachOutsideLibraryInOnePlaceOnly) {
  const std::map<std::string, std::string> home = {
      {"yaml-cpp", "plan"},    {"smf.h", "smf"},
      {"fluidsynth", "sound"}, {"sndfile.h", "sound"},
      {"RtMidi.h", "sound"},   {"jack/jack.h", "sound"},
      {"ebur128.h", "sound"},  {"pugixml.hpp", "musicxml"},
      {"librsvg", "page"},     {"cairo.h", "page"},
      {"cairo-pdf.h", "page"}, {"CLI", "tool"},
      {"nlohmann", "tool"}};
  for (const auto& [folder, needs] : needs_by_folder()) {
    for (const fs::path& source : sources_of(folder)) {
      for (const Include& include : includes_of(source)) {
        if (include.quoted) continue;
        const std::string first = include.name.substr(0, include.name.find_first_of('/'));
        const std::string library = home.contains(first) ? first : fs::path(first).stem().string();
        if (home.contains(library)) {
          EXPECT_EQ(home.at(library), folder) << source;
        }
      }
    }
  }
}

TEST(IncludeOrder, PutsAFilesOwnHeaderFirst) {
  std::size_t checked = 0;
  for (const auto& [folder, needs] : needs_by_folder()) {
    for (const fs::path& source : sources_of(folder)) {
      fs::path header = source;
      header.replace_extension(".h");
      if (source.extension() != ".cc" || !fs::exists(header)) continue;
      const std::vector<Include> includes = includes_of(source);
      ASSERT_FALSE(includes.empty()) << source;
      EXPECT_EQ(includes.front().name, folder + "/" + header.filename().string()) << source;
      ++checked;
    }
  }
  EXPECT_GT(checked, 20u);
}

TEST(Headers, AreGuardedAndOpenWithWhatTheyHold) {
  for (const auto& [folder, needs] : needs_by_folder()) {
    for (const fs::path& source : sources_of(folder)) {
      if (source.extension() != ".h") continue;
      std::ifstream file(source);
      std::stringstream text;
      text << file.rdbuf();
      EXPECT_TRUE(text.str().starts_with("// ")) << source;
      EXPECT_NE(text.str().find("#pragma once"), std::string::npos) << source;
    }
  }
}

}  // namespace
