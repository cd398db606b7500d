// `arsis lesson PLAN... -o FOLDER`: an ear-training set for a class: clips, a sheet for the
// students, the teacher's key, a page that asks and scores.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "tool/audio_options.h"
#include "tool/level_options.h"

namespace CLI {
class App;
}

namespace arsis {

struct LessonArgs {
  std::vector<std::string> plans;
  std::string output;  // a folder
  bool force = false;
  std::string questions = "24";
  std::vector<std::string> kinds;  // empty: all
  std::vector<std::string> amount = {"200%", "50%"};
  std::string order = "1";
  std::string tempo = "100%";
  std::string title;
  std::string paper = "a4";
  std::string staff = "on";
  std::string format = "mp3";
  LevelOptions levels;
  AudioOptions audio;
};

int run_lesson(const LessonArgs& args);

// Adds the command; when it is chosen, `run` is set to what it does.
void add_lesson(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
