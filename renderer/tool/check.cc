#include "tool/check.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <memory>

#include "tool/exit_code.h"
#include "tool/load.h"
#include "tool/outline.h"
#include "tool/report.h"

namespace arsis {

int run_check(const CheckArgs& args) {
  const Result<Loaded> loaded = load(args.plan);
  report(loaded.diagnostics());
  if (!loaded) {
    if (args.json) fmt::print("{}", outline_json(nullptr, nullptr, loaded.diagnostics()));
    return kInputAtFault;
  }
  const Shaped shaped = perform(loaded->score, loaded->bound);
  fmt::print("{}", args.json ? outline_json(&*loaded, &shaped, loaded.diagnostics())
                             : outline_text(*loaded, shaped, args.printed));
  return kDone;
}

void add_check(CLI::App& app, std::function<int()>& run) {
  const auto args = std::make_shared<CheckArgs>();
  CLI::App* command = app.add_subcommand("check", "Read a plan and show what it says");
  command->add_option("plan", args->plan, "the phrase plan, a YAML file; or a score")->required();
  command->add_flag("--printed", args->printed,
                    "list all dynamics and marks and where each is written, not the first only");
  command->add_flag("--json", args->json, "print the structure as JSON");
  command->callback([&run, args] { run = [args] { return run_check(*args); }; });
}

}  // namespace arsis
