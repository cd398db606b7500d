// `arsis take compare PLAN TAKE...`: what of a plan was heard in a take.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>
#include <vector>

#include "tool/level_options.h"

namespace arsis {

struct TakeCompareArgs {
  std::string plan;
  std::vector<std::string> takes;  // several: a line for each
  std::string alignment;           // file for the pairs of notes; empty: none
  LevelOptions levels;
  std::string soundfont;
  bool json = false;

  static constexpr std::size_t kMostTakes = 200;
};

int run_take_compare(const TakeCompareArgs& args);

// Adds the command to `take`; when it is chosen, `run` is set to what it does.
void add_take_compare(CLI::App& take, std::function<int()>& run);

}  // namespace arsis
