// MIDI ports of the system (RtMidi): which there are, and sending to one.
#pragma once

#include <cstdint>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "base/diagnostic.h"

namespace arsis {

// A way to MIDI ports that this program was built with.
struct MidiBackEnd {
  std::string name;                 // "ALSA", "JACK"
  std::string why_not;              // why it cannot be used now; empty where it can
  std::vector<std::string> ports;   // that can be played to, as the system names them
  std::vector<std::string> inputs;  // that can be listened at
};
std::vector<MidiBackEnd> midi_back_ends();

// A port that is played to. [one thread at a time, but for connected()]
class MidiPort {
 public:
  // The port of that name; otherwise the only one whose name holds these words, in small or capital
  // letters. Errors: there is none, there are several, it cannot be opened.
  static Result<MidiPort> open(const std::string& name);
  MidiPort(MidiPort&&) noexcept;
  MidiPort& operator=(MidiPort&&) noexcept;
  ~MidiPort();

  const std::string& name() const;
  // Waits a little in a burst of hundreds, which back ends lose.
  void send(std::span<const std::uint8_t> message);
  // Whether the port is still there: it asks the system, which takes a moment. False for good once
  // a message could not be sent.
  bool connected() const;

 private:
  struct Handle;
  explicit MidiPort(std::unique_ptr<Handle> handle);
  std::unique_ptr<Handle> handle_;
};

}  // namespace arsis
