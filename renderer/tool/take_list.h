// `arsis take list PLAN|FOLDER`: the takes in a folder of plain files.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>

namespace arsis {

struct TakeListArgs {
  std::string where;  // a folder; or a plan, whose takes in its own folder are listed
  bool json = false;
};

int run_take_list(const TakeListArgs& args);

// Adds the command to `take`; when it is chosen, `run` is set to what it does.
void add_take_list(CLI::App& take, std::function<int()>& run);

}  // namespace arsis
