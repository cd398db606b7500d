// What sending to MIDI ports and listening at them have in common: RtMidi's back ends, their
// clients, and the port that a name means. Private to midi_port.cc and midi_input.cc.
#pragma once

#include <RtMidi.h>

#include <algorithm>
#include <chrono>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "base/diagnostic.h"
#include "sound/jack_watch.h"

namespace arsis {

std::vector<RtMidi::Api> compiled_apis();
std::string_view display_name(RtMidi::Api api);
std::string why_not(RtMidi::Api api);

// Client is RtMidiOut or RtMidiIn from here on.

// An open client of a back end, or none where there is no such service. `complaint` is the first
// thing that it complains of, and outlives it.
template <class Client>
std::unique_ptr<Client> client_of(RtMidi::Api api, std::string& complaint);

std::vector<std::string> ports_of(RtMidi& client);

// A port that is meant.
struct ChosenPort {
  RtMidi::Api api;
  unsigned number;
  std::string name;
};

// The port of that name; otherwise the only one whose name holds these words, in small or capital
// letters. Errors: there is none, there are several.
template <class Client>
Result<ChosenPort> chosen_port(const std::string& name);

// Whether a JACK server goes on. [one thread]
class JackPulse {
 public:
  bool is_alive(const JackWatch& watch);

 private:
  std::uint64_t seen_ = 0;
  std::chrono::steady_clock::time_point moved_ = std::chrono::steady_clock::now();
};

// Whether the port of a handle (with its `client`, `name`, `watch`, `pulse` and `failed`) is there:
// no error has come from it, its server goes on, and the system lists it. [one thread]
template <class Handle>
bool is_connected(Handle& handle) {
  if (handle.failed) return false;
  if (handle.watch && !handle.pulse.is_alive(*handle.watch)) {
    handle.failed = true;
    return false;
  }
  try {
    const std::vector<std::string> ports = ports_of(*handle.client);
    return std::ranges::find(ports, handle.name) != ports.end();
  } catch (const RtMidiError&) {
    return false;
  }
}

}  // namespace arsis
