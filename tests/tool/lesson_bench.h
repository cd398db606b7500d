// A folder to make small ear-training sets in: our songs fast, a sine for an instrument.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "sound/sine_soundfont.h"
#include "tool/lesson.h"
#include "tool/run_arsis.h"

namespace arsis::test {

// Quick to make: a low rate, no room, four times the tempo.
inline constexpr const char* kQuickLesson =
    " --soundfont sine.sf2 --reverb off --rate 24000 --tempo 400% ";

struct LessonBench : Folder {
  LessonBench() {
    copy_lantern(*this);
    write("plan.yaml",
          lantern_plan(std::string("dynamics:\n"
                                   "  - {at: 0:3, mark: mf}\n"
                                   "  - {from: 19:1, to: 24:1, hairpin: dim, mark: p}\n"
                                   "  - {at: 25:1, mark: f}\n") +
                       kLanternSentences));
    write_soundfont(path() / "sine.sf2", Wave::kSine);
  }

  // What the program is told by "lesson plan.yaml -o set" and kQuickLesson.
  LessonArgs args() const {
    LessonArgs args;
    args.plans = {(path() / "plan.yaml").string()};
    args.output = (path() / "set").string();
    args.tempo = "400%";
    args.audio.soundfont = (path() / "sine.sf2").string();
    args.audio.reverb = "off";
    args.audio.rate = "24000";
    return args;
  }

  // Every file under the folder with what is in it, by name.
  std::vector<std::pair<std::string, std::string>> all_of(const std::string& folder) const {
    std::vector<std::pair<std::string, std::string>> all;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(path() / folder)) {
      if (!entry.is_regular_file()) continue;
      const std::string name = entry.path().lexically_relative(path()).string();
      all.emplace_back(name.substr(folder.size()), read(name));
    }
    std::ranges::sort(all);
    return all;
  }
};

}  // namespace arsis::test
