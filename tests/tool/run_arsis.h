// Runs the program as a user would, in a folder of its own, and tells what came of it.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace arsis::test {

struct Ran {
  int code = -1;  // exit code; -1 where it crashed
  std::string out;
  std::string err;
};

// A temporary folder that is gone with the object.
class Folder {
 public:
  Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder();

  const std::filesystem::path& path() const { return path_; }
  void write(const std::string& name, const std::string& text) const;
  std::string read(const std::string& name) const;
  bool has(const std::string& name) const;
  // Names of all files in it, sorted, hidden ones too.
  std::vector<std::string> files() const;
  // Runs `arsis` here with these words of a shell; `environment` as in "NAME=value".
  Ran arsis(const std::string& words, const std::string& environment = "") const;

 private:
  std::filesystem::path path_;
};

// Good sentences for such a plan.
extern const char* const kLanternSentences;
// A plan over lantern-song.mid, which is copied beside it, with these lines after its head.
std::string lantern_plan(const std::string& lines);
// Puts a demo score ("mill-round.mid") into the folder.
void copy_demo(const Folder& folder, const std::string& name);
// Puts the demo score into the folder as lantern-song.mid.
void copy_lantern(const Folder& folder);

}  // namespace arsis::test
