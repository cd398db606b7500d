#include "sound/soundfont.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>
#include <cstring>
#include <fstream>
#include <functional>

namespace arsis {
namespace fs = std::filesystem;
namespace {

constexpr const char* kHowToGet =
    "install one (sudo apt install timgm6mb-soundfont) or name one with --soundfont FILE";

std::vector<fs::path> fonts_in(const fs::path& folder) {
  std::vector<fs::path> fonts;
  std::error_code failure;
  // Not a range-for, whose steps would throw. A folder that cannot be read holds no fonts.
  for (fs::directory_iterator at(folder, failure), end; !failure && at != end;
       at.increment(failure)) {
    const std::string ending = at->path().extension().string();
    if (ending == ".sf2" || ending == ".sf3") fonts.push_back(at->path());
  }
  std::ranges::sort(fonts);
  return fonts;
}

// grand-8.sf2 has 8 layers; what is not called like that, none.
int layers_of(const fs::path& font) {
  constexpr std::string_view kPrefix = "grand-";
  const std::string name = font.filename().string();
  if (!name.starts_with(kPrefix)) return 0;
  int layers = 0;
  std::from_chars(name.data() + kPrefix.size(), name.data() + name.size(), layers);
  return layers;
}

std::vector<fs::path> cached_fonts(const fs::path& folder) {
  std::vector<fs::path> fonts = folder.empty() ? std::vector<fs::path>() : fonts_in(folder);
  std::erase_if(fonts, [](const fs::path& font) { return layers_of(font) < 1; });
  std::ranges::stable_sort(fonts, std::ranges::greater(), layers_of);
  return fonts;
}

Result<fs::path> named_font(const std::string& name, std::string_view by) {
  const fs::path path = name;
  std::error_code ignored;
  if (!fs::exists(path, ignored)) {
    return fail({.file = name}, fmt::format("there is no such SoundFont ({})", by), kHowToGet);
  }
  if (const std::string fault = soundfont_fault(path); !fault.empty()) {
    return fail({.file = name}, fmt::format("{} ({})", fault, by), "an SF2 or SF3 file is needed");
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

std::string soundfont_fault(const fs::path& path) {
  constexpr const char* kNone = "is not a SoundFont";
  std::error_code failure;
  if (!fs::is_regular_file(path, failure)) return kNone;
  const std::uintmax_t size = fs::file_size(path, failure);
  std::ifstream file(path, std::ios::binary);
  if (failure || !file) return "cannot be read";
  std::array<char, 12> head{};
  file.read(head.data(), head.size());
  if (file.gcount() != static_cast<std::streamsize>(head.size()) ||
      std::memcmp(head.data(), "RIFF", 4) != 0 || std::memcmp(head.data() + 8, "sfbk", 4) != 0) {
    return kNone;
  }
  std::uintmax_t said = 8;  // of the form's name and size; what follows is counted, low byte first
  for (unsigned i = 0; i < 4; ++i) {
    said += std::uintmax_t{static_cast<unsigned char>(head[4 + i])} << (8 * i);
  }
  if (said > size) return fmt::format("is cut short ({} of {} bytes)", size, said);
  return {};
}

Result<fs::path> find_soundfont(const SoundFontSearch& search) {
  if (!search.named.empty()) return named_font(search.named, "--soundfont");
  if (!search.environment.empty()) return named_font(search.environment, "ARSIS_SOUNDFONT");
  for (const fs::path& folder : search.folders) {
    for (const fs::path& font : fonts_in(folder)) {
      if (soundfont_fault(font).empty()) return font;
    }
  }
  for (const fs::path& font : cached_fonts(search.cache)) {
    if (soundfont_fault(font).empty()) return font;
  }
  for (const fs::path& font : search.system) {
    if (soundfont_fault(font).empty()) return font;
  }
  return fail({}, "no SoundFont was found", kHowToGet);
}

}  // namespace arsis
