#include "tool/ports.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>

#include "base/text.h"
#include "sound/midi_port.h"
#include "tool/exit_code.h"

namespace arsis {

int run_ports() {
  bool any = false;
  for (const MidiBackEnd& back_end : midi_back_ends()) {
    if (!back_end.why_not.empty()) {
      fmt::print("{}: not usable: {}\n", back_end.name, back_end.why_not);
      continue;
    }
    fmt::print("{}: {}\n", back_end.name,
               back_end.ports.empty() ? "no ports to play to" : "ports to play to");
    for (const std::string& port : back_end.ports) fmt::print("  {}\n", printable(port, 200));
    any |= !back_end.ports.empty();
  }
  return any ? kDone : kDeviceMissing;
}

void add_ports(CLI::App& app, std::function<int()>& run) {
  CLI::App* command =
      app.add_subcommand("ports", "List the MIDI ports that 'play --port' can play to");
  command->callback([&run] { run = [] { return run_ports(); }; });
}

}  // namespace arsis
