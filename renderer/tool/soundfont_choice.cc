#include "tool/soundfont_choice.h"

#include <cstdlib>

#include "base/files.h"
#include "sound/soundfont.h"

namespace arsis {
namespace fs = std::filesystem;

Result<fs::path> choose_soundfont(const std::string& named, const fs::path& plan) {
  const char* environment = std::getenv("ARSIS_SOUNDFONT");
  SoundFontSearch search;
  search.named = named;
  search.environment = environment == nullptr ? "" : environment;
  search.folders = {"soundfonts"};
  if (!plan.empty()) search.folders.push_back(plan.parent_path() / "../soundfonts");
  search.cache = cache_folder();
  search.system = system_soundfonts();
  return find_soundfont(search);
}

fs::path soundfont_beneath(const std::string& named, const fs::path& chosen) {
  const char* environment = std::getenv("ARSIS_SOUNDFONT");
  if (!named.empty() || (environment != nullptr && *environment != '\0')) return {};
  SoundFontSearch search;
  search.system = system_soundfonts();
  const Result<fs::path> found = find_soundfont(search);
  return found && *found != chosen ? *found : fs::path();
}

}  // namespace arsis
