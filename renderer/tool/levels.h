// `arsis levels`: how loud a SoundFont sounds at each velocity, measured, shown and kept.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "score/level_table.h"

namespace CLI {
class App;
}

namespace arsis {

struct LevelsArgs {
  std::string soundfont;              // empty: the one that would sound
  std::vector<std::string> programs;  // "1" to "128"; empty: all that it has
  bool json = false;
};

// Where measured levels are farthest from the law.
struct Deviation {
  Velocity velocity;
  int key = 60;
  Decibels by;  // above 0: louder than the law has it
};
// Not of an empty table.
Deviation largest_deviation(const LevelTable& table);

// What is told of one program, from 0: level against velocity on some keys, on the average of all
// and by the law, the largest deviation from it, and a plot in letters. Not of an empty table.
std::string level_report(int program, const LevelTable& table);

int run_levels(const LevelsArgs& args);

// Adds the command; when it is chosen, `run` is set to what it does.
void add_levels(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
