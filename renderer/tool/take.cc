#include "tool/take.h"

#include "tool/take_compare.h"
#include "tool/take_list.h"
#include "tool/take_record.h"

namespace arsis {

void add_take(CLI::App& app, std::function<int()>& run) {
  CLI::App* command =
      app.add_subcommand("take", "Record what you play, and see what of a plan is heard in it");
  command->require_subcommand(1);
  add_take_record(*command, run);
  add_take_compare(*command, run);
  add_take_list(*command, run);
}

}  // namespace arsis
