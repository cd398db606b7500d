// `arsis draft SCORE -o PLAN`: proposes a plan for a score, with what speaks for it.
#pragma once

#include <functional>
#include <string>

namespace CLI {
class App;
}

namespace arsis {

struct DraftArgs {
  std::string score;
  std::string output;              // the plan to write; empty: standard output
  bool force = false;              // replace a plan that is there
  bool why = false;                // with the scores of all candidates
  std::string alternatives = "0";  // how many other structures to tell
  std::string cell;                // "1 bar from 0:3"; empty: it is looked for
  std::string mains;  // a plan that keeps all but its mains; stands in the score's place
  bool json = false;  // print the draft as JSON
};

// Writes the plan, or prints it. A file that is there is kept unless `force` says otherwise; the
// score is kept always.
int run_draft(const DraftArgs& args);

// Adds the command; when it is chosen, `run` is set to what it does.
void add_draft(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
