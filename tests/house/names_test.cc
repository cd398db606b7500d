// Types of the headers have one name each: two of one name in two folders would share their
// functions where the program links both.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <string>

namespace fs = std::filesystem;

namespace {

// Where each type is defined that begins a line: the outermost ones, as clang-format has them.
std::map<std::string, std::set<std::string>> places_by_type() {
  const std::regex definition(
      R"(^(?:struct|class|enum class) (?:\[\[nodiscard\]\] )?(\w+)(?: final)?(?: :.*)? ?\{.*)");
  std::map<std::string, std::set<std::string>> places;
  for (const fs::directory_entry& entry :
       fs::recursive_directory_iterator(fs::path(ARSIS_SOURCE_DIR) / "renderer")) {
    if (entry.path().extension() != ".h") continue;
    std::ifstream text(entry.path());
    for (std::string line; std::getline(text, line);) {
      std::smatch found;
      if (std::regex_match(line, found, definition)) {
        places[found[1]].insert(entry.path().string());
      }
    }
  }
  return places;
}

TEST(Names, OfTypesAreUniqueAmongAllHeaders) {
  const auto places = places_by_type();
  EXPECT_GT(places.size(), 200u);
  for (const auto& [type, files] : places) {
    std::string all;
    for (const std::string& file : files) all += "\n  " + file;
    EXPECT_EQ(files.size(), 1u) << type << " is defined in" << all;
  }
}

}  // namespace
