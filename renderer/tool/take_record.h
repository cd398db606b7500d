// `arsis take record PLAN -o TAKE`: records from a MIDI port.
#pragma once

#include <functional>
#include <string>

#include "tool/device_options.h"
#include "tool/passage_options.h"

namespace CLI {
class App;
}

namespace arsis {

struct TakeRecordArgs {
  std::string plan;
  std::string output;
  std::string port;        // to record from
  PassageOptions passage;  // of it tempo, count-in, click, and where they begin
  DeviceOptions click;     // where count-in and click are heard
  SynthesizerWords sound;  // what sounds them there
  bool force = false;      // replace a take that is there
};

int run_take_record(const TakeRecordArgs& args);

// Adds the command to `take`; when it is chosen, `run` is set to what it does.
void add_take_record(CLI::App& take, std::function<int()>& run);

}  // namespace arsis
