#include "sound/soundfont.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <fstream>

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr const char* kHowToGet =
    "install one (sudo apt install timgm6mb-soundfont) or name one with --soundfont FILE";

std::vector<fs::path> fonts_in(const fs::path& folder) {
  std::vector<fs::path> fonts;
  std::error_code ignored;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder, ignored)) {
    const std::string ending = entry.path().extension().string();
    if (ending == ".sf2" || ending == ".sf3") fonts.push_back(entry.path());
  }
  std::ranges::sort(fonts);
  return fonts;
}

Result<fs::path> named_font(const std::string& name, std::string_view by) {
  const fs::path path = name;
  std::error_code ignored;
  if (!fs::exists(path, ignored)) {
    return fail({.file = name}, fmt::format("there is no such SoundFont ({})", by), kHowToGet);
  }
  if (!looks_like_soundfont(path)) {
    return fail({.file = name}, fmt::format("is not a SoundFont ({})", by),
                "an SF2 or SF3 file is needed");
  }
  return path;
}

}  // namespace

std::vector<fs::path> system_soundfonts() {
  std::vector<fs::path> fonts;
  for (const char* folder :
       {"/usr/share/sounds/sf2", "/usr/share/sounds/sf3", "/usr/share/soundfonts"}) {
    for (const char* name : {"TimGM6mb.sf2", "default-GM.sf2", "default-GM.sf3", "FluidR3_GM.sf2",
                             "FluidR3_GM.sf3", "default.sf2"}) {
      fonts.push_back(fs::path(folder) / name);
    }
  }
  return fonts;
}

bool looks_like_soundfont(const fs::path& path) {
  std::error_code ignored;
  if (!fs::is_regular_file(path, ignored)) return false;
  std::ifstream file(path, std::ios::binary);
  std::array<char, 12> head{};
  file.read(head.data(), head.size());
  return file.gcount() == static_cast<std::streamsize>(head.size()) &&
         std::memcmp(head.data(), "RIFF", 4) == 0 && std::memcmp(head.data() + 8, "sfbk", 4) == 0;
}

Result<fs::path> find_soundfont(const SoundFontSearch& search) {
  if (!search.named.empty()) return named_font(search.named, "--soundfont");
  if (!search.environment.empty()) return named_font(search.environment, "ARSIS_SOUNDFONT");
  for (const fs::path& folder : search.folders) {
    for (const fs::path& font : fonts_in(folder)) {
      if (looks_like_soundfont(font)) return font;
    }
  }
  for (const fs::path& font : search.system) {
    if (looks_like_soundfont(font)) return font;
  }
  return fail({}, "no SoundFont was found", kHowToGet);
}

}  // namespace arsis
