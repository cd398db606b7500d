// Listening at a MIDI port of the system (RtMidi).
#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

// A channel message, and when it came.
struct ReceivedMessage {
  std::chrono::steady_clock::time_point at;
  std::array<std::uint8_t, 3> bytes{};
  std::uint8_t size = 0;
};

// [main thread]
class MidiInput {
 public:
  // Listens from then on. `name` as for MidiPort::open(). Errors: there is no such port, there are
  // several, it cannot be opened.
  static Result<MidiInput> open(const std::string& name);
  MidiInput(MidiInput&&) noexcept;
  MidiInput& operator=(MidiInput&&) noexcept;
  ~MidiInput();

  const std::string& name() const;
  // What has come since the last call, in order. System messages are left out.
  std::vector<ReceivedMessage> received();
  // Whether the port is still there: it asks the system, which takes a moment.
  bool connected() const;

 private:
  struct Handle;
  explicit MidiInput(std::unique_ptr<Handle> handle);
  std::unique_ptr<Handle> handle_;
};

}  // namespace arsis
