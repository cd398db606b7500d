// `arsis check PLAN`: what the plan says, as the program understands it.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <string>

namespace arsis {

struct CheckArgs {
  std::string plan;
  bool json = false;
};

// Prints the structure on standard output and every error or doubt on standard error.
int run_check(const CheckArgs& args);

// Adds the command; when it is chosen, `run` is set to what it does.
void add_check(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
