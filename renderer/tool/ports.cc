#include "tool/ports.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>

#include "base/text.h"
#include "sound/midi_port.h"
#include "tool/exit_code.h"

namespace arsis {

namespace {

void print_ports(const std::string& back_end, const std::vector<std::string>& ports,
                 const char* what) {
  fmt::print("{}: {}{}\n", back_end, ports.empty() ? "no " : "", what);
  for (const std::string& port : ports) fmt::print("  {}\n", printable(port, 200));
}

}  // namespace

int run_ports() {
  bool any = false;
  for (const MidiBackEnd& back_end : midi_back_ends()) {
    if (!back_end.why_not.empty()) {
      fmt::print("{}: not usable: {}\n", back_end.name, back_end.why_not);
      continue;
    }
    print_ports(back_end.name, back_end.ports, "ports to play to");
    print_ports(back_end.name, back_end.inputs, "ports to record from");
    any |= !back_end.ports.empty() || !back_end.inputs.empty();
  }
  return any ? kDone : kDeviceMissing;
}

void add_ports(CLI::App& app, std::function<int()>& run) {
  CLI::App* command =
      app.add_subcommand("ports", "List the MIDI ports that can be played to and recorded from");
  command->callback([&run] { run = [] { return run_ports(); }; });
}

}  // namespace arsis
