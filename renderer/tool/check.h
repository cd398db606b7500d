// `arsis check PLAN`: what the plan and the score's page say, as the program understands it.
#pragma once

#include <functional>
#include <string>

namespace CLI {
class App;
}

namespace arsis {

struct CheckArgs {
  std::string plan;  // or a score
  bool json = false;
  bool printed = false;  // list all dynamics and marks
};

// Prints the structure on standard output and every error or doubt on standard error.
int run_check(const CheckArgs& args);

// Adds the command; when it is chosen, `run` is set to what it does.
void add_check(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
