// `arsis ports`: the MIDI ports that can be played to and recorded from.
#pragma once

#include <functional>

namespace CLI {
class App;
}

namespace arsis {

// Prints each back end with its ports, or why it is not there. Exit codes: kDone; kDeviceMissing
// where there is no port at all.
int run_ports();

void add_ports(CLI::App& app, std::function<int()>& run);

}  // namespace arsis
