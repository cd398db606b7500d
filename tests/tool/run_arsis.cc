#include "tool/run_arsis.h"

#include <sys/wait.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace arsis::test {
namespace fs = std::filesystem;

Folder::Folder() {
  std::string name = (fs::temp_directory_path() / "arsis-test-XXXXXX").string();
  if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
  path_ = name;
}

Folder::~Folder() {
  std::error_code ignored;
  fs::remove_all(path_, ignored);
}

void Folder::write(const std::string& name, const std::string& text) const {
  std::ofstream(path_ / name, std::ios::binary) << text;
}

std::string Folder::read(const std::string& name) const {
  std::ostringstream text;
  text << std::ifstream(path_ / name, std::ios::binary).rdbuf();
  return text.str();
}

bool Folder::has(const std::string& name) const { return fs::exists(path_ / name); }

std::vector<std::string> Folder::files() const {
  std::vector<std::string> names;
  for (const fs::directory_entry& entry : fs::directory_iterator(path_)) {
    names.push_back(entry.path().filename().string());
  }
  std::ranges::sort(names);
  return names;
}

Ran Folder::arsis(const std::string& words, const std::string& environment) const {
  const Folder aside;  // what it says is kept out of the folder under test
  const fs::path out = aside.path() / "out";
  const fs::path err = aside.path() / "err";
  // In braces, so that the words may have redirections of their own. No SoundFont of the machine's
  // cache may be found: it would sound otherwise than elsewhere.
  const std::string command = "cd '" + path_.string() + "' && { env -u ARSIS_SOUNDFONT " +
                              "XDG_CACHE_HOME='" + aside.path().string() + "' " + environment +
                              " " + ARSIS_PROGRAM + " " + words + "; } >'" + out.string() +
                              "' 2>'" + err.string() + "'";
  const int status = std::system(command.c_str());
  Ran ran;
  ran.code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  ran.out = aside.read("out");
  ran.err = aside.read("err");
  return ran;
}

void copy_demo(const Folder& folder, const std::string& name) {
  fs::copy_file(fs::path(ARSIS_SOURCE_DIR) / "examples" / name, folder.path() / name);
}

void copy_lantern(const Folder& folder) { copy_demo(folder, "lantern-song.mid"); }

const char* const kLanternSentences =
    "motif: {length: 1 bar, from: 0:3}\n"
    "sentences:\n"
    "  - {phrases: [u / u, u / u], main: 2}\n"
    "  - {phrases: [/ u, / u, / u], main: 3}\n"
    "  - {phrases: [u /, u /, u /], main: 3}\n"
    "  - {phrases: [/ u u, u u /], main: 2}\n"
    "  - {like: 1, main: 1}\n"
    "  - {phrases: [/ u, / u, / u], main: 1}\n";

std::string lantern_plan(const std::string& lines) {
  return "arsis: 1\nscore: lantern-song.mid\n"
         "parts:\n"
         "  - {name: right hand, track: 1, role: melody}\n"
         "  - {name: left hand, track: 2, role: accompaniment}\n" +
         lines;
}

}  // namespace arsis::test
